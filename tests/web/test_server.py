"""A server in a process of its own: what it has read when its first page is asked for, and how large it grows."""

from __future__ import annotations

import re
import subprocess
import sys
import urllib.request
from pathlib import Path
from threading import Thread

import pytest
from starlette.testclient import TestClient

from sagwright.service.workshop.records import open_workshop
from sagwright.web.app import Deferred
from sagwright.web.routes import PAGE_ROUTES
from tests.support.web.addresses import looked_at
from tests.support.web.example_workshop import WITH_BIKE, fill
from tests.support.web.program import Program

MOST_MB = 300
ROUNDS = 3


def most_memory(process: int) -> float:
    """The most memory that a process ever had [MB]; skips where the system does not tell."""
    status = Path(f"/proc/{process}/status")
    if not status.exists():
        pytest.skip("this system does not say how large a process is")
    told = re.search(r"VmHWM:\s*(\d+) kB", status.read_text("utf-8"))
    assert told
    return int(told.group(1)) / 1024


@pytest.mark.long
def test_a_server_stays_within_300_mb_whatever_is_looked_at(tmp_path: Path) -> None:
    with open_workshop(tmp_path / "workshop.sqlite") as store:
        fill(store)
    drawn = [
        f"/jobs/{WITH_BIKE}/plan?travel={travel}+mm&aim=sag&sag={sag}&sag.unit=%25"
        for travel in (110, 120, 130, 140)
        for sag in range(15, 31)
    ]
    program = Program(tmp_path / "workshop.sqlite")
    program.start()
    try:
        for path in [*looked_at() * ROUNDS, *drawn]:
            with urllib.request.urlopen(program.address + path) as answer:
                assert answer.status == 200
        assert program.running
        assert 30 < most_memory(program.running.pid) < MOST_MB
    finally:
        program.stop()


def test_the_first_page_does_not_wait_for_what_computes() -> None:
    said = "import sys, sagwright.web.app; print(sorted({'numpy', 'yaml', 'PIL'} & {*sys.modules}))"
    asked = subprocess.run([sys.executable, "-c", said], check=True, capture_output=True, text=True)
    assert asked.stdout.strip() == "[]"


def test_other_pages_are_read_once_however_many_ask_at_once() -> None:
    read: list[int] = []

    def routes() -> tuple[object, ...]:
        read.append(1)
        return PAGE_ROUTES

    others = Deferred(routes)  # type: ignore[arg-type]  # PAGES are routes
    threads = [Thread(target=others.read) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert read == [1]
    assert TestClient(others).post("/sheets").status_code == 405
    assert TestClient(others).get("/nowhere").status_code == 404
