"""How long the next step at the stand takes, from the tap to the page, in a workshop of 10,000 jobs."""

from __future__ import annotations

from collections.abc import Iterator

from benchmarks.bench_web import SHARE, tablet
from benchmarks.timing import Timed, benchmark
from benchmarks.workshop import with_every_face
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.queries import open_job
from sagwright.service.workshop.records import Workshop, open_workshop
from tests.support.web.example_workshop import NOW, arrival_of, at_the_stand_from
from tests.support.workshops import Person, as_it_should

JOBS = 2
RUNS = 70
UNITS = {Quantity.PRESSURE: "Pa", Quantity.LENGTH: "m", Quantity.VOLUME: "ml"}


@benchmark("next_step")
def next_step() -> Timed[int]:
    """One step after the other: its form is sent, its entry is on disk, and the next step is shown."""
    store, client = open_workshop(with_every_face()), tablet()
    kim = Person("Bela", start=NOW)
    jobs = [at_the_stand_from(store, kim, arrival_of("shorten-t35-bike", f"Customer {n}")) for n in range(JOBS)]
    forms = [(open_job(store, job).view.card.number, form) for job in jobs for form in _forms(store, job)]
    waiting = iter(forms)

    def work() -> int:
        number, form = next(waiting)
        status: int = client.post(f"/jobs/{number}/bench/do", data=form).status_code
        if status != 200:
            raise RuntimeError(f"{form['step']} was answered with {status}")
        return status

    return Timed(work=work, runs=RUNS, share=SHARE)


def _forms(store: Workshop, job: str) -> Iterator[dict[str, str]]:
    for step in bench_state(store, job).steps:
        yield {"by": "Kim", "step": step.key, **_readings(step)}


def _readings(step: Step) -> dict[str, str]:
    units = {record.key: UNITS.get(record.quantity or Quantity.COUNT, "") for record in step.records}
    return {one.key: f"{one.as_typed} {units.get(one.key, '')}".strip() for one in as_it_should(step)}
