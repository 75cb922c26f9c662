"""How long the next step at the stand takes, from the tap to the page."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from starlette.testclient import TestClient

from benchmarks.timing import Timed, benchmark
from sagwright.domain.plan import Step
from sagwright.domain.value import Quantity
from sagwright.service.looking import open_job_numbered
from sagwright.service.stand import at_the_stand
from sagwright.service.workshop import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.shop import Shop
from tests.web.shop import NOW, arrival_of, as_it_should, at_the_stand_from
from tests.workshops import Person

JOBS = 2
RUNS = 70
UNITS = {Quantity.PRESSURE: "Pa", Quantity.LENGTH: "m", Quantity.VOLUME: "ml"}


@benchmark("next_step")
def next_step() -> Timed[int]:
    """One step after the other: its form is sent, its entry is on disk, and the next step is shown."""
    store = open_workshop(Path(tempfile.mkdtemp(prefix="sagwright-bench-")) / "workshop.sqlite")
    kim = Person("Kim", start=NOW)
    for number in range(JOBS):
        at_the_stand_from(store, kim, arrival_of("shorten-t35-bike", f"Owner {number}"))
    headers = {"sec-fetch-site": "same-origin"}
    client = TestClient(create_app(Shop(store, now=lambda: NOW)), base_url="http://127.0.0.1", headers=headers)
    forms = [(number, form) for number in range(1001, 1001 + JOBS) for form in _forms(store, number)]
    waiting = iter(forms)

    def work() -> int:
        number, form = next(waiting)
        status: int = client.post(f"/jobs/{number}/bench/do", data=form).status_code
        if status != 200:
            raise RuntimeError(f"{form['step']} was answered with {status}")
        return status

    return Timed(work=work, runs=RUNS)


def _forms(store: Workshop, number: int) -> Iterator[dict[str, str]]:
    for step in at_the_stand(store, open_job_numbered(store, number).view.card.id).steps:
        yield {"by": "Kim", "step": step.key, **_readings(step)}


def _readings(step: Step) -> dict[str, str]:
    units = {record.key: UNITS.get(record.quantity or Quantity.COUNT, "") for record in step.records}
    return {one.key: f"{one.said} {units.get(one.key, '')}".strip() for one in as_it_should(step)}
