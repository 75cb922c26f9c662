"""The process itself: help, version, pipes, interrupts, defects and terminals."""

from __future__ import annotations

import json
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

import sagwright
from sagwright.cli import failures
from sagwright.errors import Defect, NoSolution, NotAllowed, SagwrightError
from tests.support.command_line import SHORTEN, Shell, process

CODES = r"\x1b\[[0-9;]*m"


def test_version(shell: Shell) -> None:
    assert shell("--version").out == f"sagwright {sagwright.__version__}\n"


@pytest.mark.parametrize(
    ("command", "says"),
    [
        ((), "Exit codes:"),
        (("plan",), "Answers 1 if the wish is refused, or what was found ends the work."),
        (("sheet",), "Check sheets"),
        (("sheet", "check"), "Answers 2 if there is a fault."),
        (("sheet", "schema"), "JSON Schema"),
        (("bike",), "the files of bikes"),
        (("bike", "schema"), "JSON Schema"),
    ],
)
@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_every_command_has_help(shell: Shell, command: tuple[str, ...], says: str, flag: str) -> None:
    answer = shell(*command, flag)
    assert (answer.code, answer.err) == (0, "")
    assert says in " ".join(answer.out.split())


@pytest.mark.parametrize(("error", "code"), [(NoSolution("none"), 2), (NotAllowed("no"), 1), (Defect("our own"), 3)])
def test_each_kind_of_error_has_its_exit_code(
    capsys: pytest.CaptureFixture[str], error: SagwrightError, code: int
) -> None:
    def raising() -> int:
        raise error

    assert failures.answer_error(raising, as_json=False) == code
    out, err = capsys.readouterr()
    assert not out
    assert str(error) in err
    assert failures.answer_error(raising, as_json=True) == code
    out, err = capsys.readouterr()
    assert json.loads(out)["errors"][0]["kind"] == type(error).__name__
    assert not err


def test_anything_unforeseen_is_told_as_our_defect_in_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing() -> int:
        raise ZeroDivisionError("division by zero")

    monkeypatch.delenv("SAGWRIGHT_TRACEBACK", raising=False)
    assert failures.answer_error(failing, as_json=False) == 3
    told = capsys.readouterr().err
    assert told.startswith("A defect in Sagwright, not in what you wrote: ZeroDivisionError: division by zero.")
    assert told.count("\n") == 1
    monkeypatch.setenv("SAGWRIGHT_TRACEBACK", "1")
    assert failures.answer_error(failing, as_json=False) == 3
    assert "Traceback" in capsys.readouterr().err


def test_an_interrupt_is_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    def interrupted() -> int:
        raise KeyboardInterrupt

    assert failures.answer_error(interrupted, as_json=False) == 128 + signal.SIGINT
    assert capsys.readouterr() == ("", "")


def test_a_reader_that_leaves_is_no_error() -> None:
    read, write = os.pipe()
    os.close(read)
    command = [sys.executable, "-m", "sagwright", "plan", str(SHORTEN)]
    done = subprocess.run(command, check=False, stdout=write, stderr=subprocess.PIPE)
    os.close(write)
    assert done.returncode == 128 + signal.SIGPIPE
    assert not done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_said() -> None:
    command = [sys.executable, "-m", "sagwright", "plan", str(SHORTEN)]
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(command, check=False, stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 2
    assert done.stderr == b"sagwright: cannot write its answer: No space left on device.\n"


def on_a_terminal(*arguments: str, columns: int) -> str:
    """What a terminal of 256 colours shows, escape codes and all."""
    ours, theirs = pty.openpty()
    env = {**os.environ, "TERM": "xterm-256color", "COLUMNS": str(columns)}
    env.pop("NO_COLOR", None)
    command = [sys.executable, "-m", "sagwright", *arguments]
    shown = b""
    with subprocess.Popen(command, stdout=theirs, env=env, close_fds=True) as running:
        os.close(theirs)
        while part := _read(ours):
            shown += part
    os.close(ours)
    assert running.returncode == 0
    return shown.decode("utf-8").replace("\r\n", "\n")


def _read(terminal: int) -> bytes:
    try:
        return os.read(terminal, 65536)
    except OSError:  # Linux says so when the other side is closed
        return b""


@pytest.mark.slow
@pytest.mark.parametrize("columns", [80, 100])
def test_a_terminal_shows_the_words_of_a_pipe_in_colour_and_in_its_width(columns: int) -> None:
    shown = on_a_terminal("plan", str(SHORTEN), columns=columns)
    assert re.search(CODES, shown)
    words = re.sub(CODES, "", shown)
    assert max(map(len, words.splitlines())) <= columns
    piped = process("plan", SHORTEN).stdout.decode("utf-8")
    assert sorted(re.findall(r"[\w%°·]+", words)) == sorted(re.findall(r"[\w%°·]+", piped))
    if columns == 100:
        assert words == piped
