"""How long a page takes, and how long the server takes to its first one."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
import tempfile
import urllib.request
from pathlib import Path

from starlette.testclient import TestClient

from benchmarks.timing import Timed, benchmark
from sagwright.service.workshop import open_workshop
from sagwright.web.app import create_app
from sagwright.web.shop import Shop
from sagwright.web.warming import warm
from tests.web.shop import WITH_BIKE, fill

CHANGES = [(travel, sag) for travel in (110, 120, 130, 140) for sag in range(15, 31)]


@benchmark("choose_page")
def choose_page() -> Timed[int]:
    """One change of a control after the other, none of them seen before."""
    folder = tempfile.mkdtemp(prefix="sagwright-bench-")
    store = open_workshop(Path(folder) / "workshop.sqlite")
    fill(store)
    client = TestClient(create_app(Shop(store)), base_url="http://localhost")
    warm()
    changes = itertools.cycle(CHANGES)

    def ask() -> int:
        travel, sag = next(changes)
        query = {"travel": f"{travel} mm", "aim": "sag", "sag": str(sag), "sag.unit": "%"}
        return client.get(f"/jobs/{WITH_BIKE}/choose", params=query).status_code

    return Timed(work=ask, runs=60)


@benchmark("first_page")
def first_page() -> Timed[int]:
    """A whole process from its start to the last byte of the board, which is what a browser is sent to."""
    folder = tempfile.mkdtemp(prefix="sagwright-bench-")
    command = [sys.executable, "-m", "sagwright", "serve", "--port", "0", "--workshop", f"{folder}/workshop.sqlite"]

    def serve() -> int:
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            told = process.stdout.readline() if process.stdout else ""
            address = re.search(r"http://\S+", told)
            if address is None:
                raise RuntimeError(f"the server did not start: {told}")
            with urllib.request.urlopen(f"{address.group()}") as answer:
                status: int = answer.status
            process.kill()  # how it ends is not what is measured
        return status

    return Timed(work=serve, runs=5)
