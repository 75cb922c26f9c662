"""How long a page takes in a workshop of 10,000 jobs, and how long the server takes to its first one."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
import tempfile
import urllib.request
from functools import cache
from typing import Final

from starlette.testclient import TestClient

from benchmarks.timing import Timed, benchmark, seconds_of
from benchmarks.workshop import with_every_face
from sagwright.planning.work.sequence import least_work_from
from sagwright.service.workshop.records import open_workshop
from sagwright.web.app import create_app, warm
from sagwright.web.http.request import Shop
from tests.support.web.addresses import looked_at
from tests.support.web.example_workshop import NOW, WITH_BIKE

CHANGES = [(travel, sag) for travel in (110, 120, 130, 140) for sag in range(15, 31)]
SHARE: Final = 0.95
LOOKS: Final = 7
COMPUTED: Final = re.compile(r"/jobs/\d+/plan")
"""What is computed for whoever looks, and has a budget of its own."""
HEAVIEST: Final = 150_000  # bytes, before photos


@cache
def tablet() -> TestClient:
    """A tablet at a workshop of 10,000 jobs in which every page has something to show; the server is warm."""
    store = open_workshop(with_every_face())
    headers = {"sec-fetch-site": "same-origin"}
    client = TestClient(create_app(Shop(store, now=lambda: NOW)), base_url="http://127.0.0.1", headers=headers)
    warm()
    return client


@benchmark("slowest_page")
def slowest_page() -> Timed[int]:
    """Every page but Plan is looked at a few times; the one that is slowest then is measured."""
    pages = [*dict.fromkeys(address for address in looked_at() if not COMPUTED.match(address)), "/?q=brenn+trail"]
    for address in (*pages, *looked_at()):
        if (weight := len(tablet().get(address).content)) > HEAVIEST:
            raise RuntimeError(f"{address} weighs {weight} bytes")
    slowest = max(pages, key=lambda one: seconds_of(lambda: tablet().get(one), LOOKS))
    print(f"the slowest page is {slowest}", file=sys.stderr)
    return Timed(work=lambda: tablet().get(slowest).status_code, runs=100, share=SHARE)


@benchmark("plan_page")
def plan_page() -> Timed[int]:
    """One change of a control after the other, none of them seen before, and no order remembered."""
    changes = itertools.cycle(CHANGES)

    def ask() -> int:
        least_work_from.cache_clear()
        travel, sag = next(changes)
        query = {"travel": f"{travel} mm", "aim": "sag", "sag": str(sag), "sag.unit": "%"}
        return tablet().get(f"/jobs/{WITH_BIKE}/plan", params=query).status_code

    return Timed(work=ask, runs=60, share=SHARE)


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
