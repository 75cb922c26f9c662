"""`sagwright serve`: a process that serves this machine only, and stops when told to."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from sagwright.cli.main import run

START = 60.0  # s, on a machine that is busy with other tests; the benchmark holds it to one
COMMAND = (sys.executable, "-m", "sagwright", "serve", "--port", "0", "--workshop")


@pytest.mark.slow
@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_it_serves_until_it_is_stopped(stop: signal.Signals, tmp_path: Path) -> None:
    command = (*COMMAND, str(tmp_path / "workshop.sqlite"))
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=_env()) as process:
        try:
            assert process.stdout is not None
            address = re.search(r"http://\S+", process.stdout.readline())
            assert address is not None
            assert "Sheets" in _page(address.group() + "sheets")
            process.send_signal(stop)
            out, err = process.communicate(timeout=START)
        finally:
            process.kill()  # where it did not stop, nothing waits for it
    assert (process.returncode, out, err) == (0, "Stopped. Everything that was recorded is kept.\n", "")


def _env() -> dict[str, str]:
    return dict(os.environ) | {"PYTHONUNBUFFERED": "1"}


def _page(address: str) -> str:
    until = time.monotonic() + START
    while True:
        try:
            with urllib.request.urlopen(address, timeout=START) as answer:
                return str(answer.read().decode())
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.4", "workshop.example"])
def test_no_other_machine_is_served(capsys: pytest.CaptureFixture[str], host: str) -> None:
    assert run(["serve", "--host", host]) == 2
    told = capsys.readouterr().err
    assert "this machine only" in told
    assert "sign-in" in told


def test_a_port_that_is_taken_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        assert run(["serve", "--port", str(taken.getsockname()[1])]) == 2
    assert "--port must be a port that is free" in capsys.readouterr().err
