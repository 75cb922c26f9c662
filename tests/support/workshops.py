"""Workshops to try things in: empty ones on both databases, and how a unit comes into one."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from sagwright.domain.diagnosis import BACK
from sagwright.domain.item import Record
from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.evidence import GOOD, YES, planned_value, reading_of
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import (
    Answered,
    Facts,
    FinalChecked,
    Payload,
    Prepared,
    Reading,
    Resumed,
    Started,
    StepDone,
)
from sagwright.domain.records.rules import require_correction, require_open_step
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.errors import NotNow
from sagwright.formats.json_text import dump_json
from sagwright.phrases.diagnosis import final_check_words
from sagwright.service.bench.final_check import Typed, final_readings, readings_due, to_read
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.action_rules import require_permitted
from sagwright.service.jobs.decision import decided_payload, propose, supply_keys
from sagwright.service.jobs.intake import Arrival, NewCustomer
from sagwright.service.log import added, view_locked
from sagwright.store.documents import add_document, load_document
from sagwright.store.workshop import Store

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

FACTS: Facts = (
    ("unit.serial", "0417"),
    ("unit.chassis", "mid"),
    ("as_found.travel", "150 ± 2 mm"),
    ("as_found.travel_spacers", "0"),
    ("as_found.port_position", "0"),
    ("as_found.volume_spacers", "1"),
    ("as_found.charge.pressure", "78 ± 2 psi"),
    ("as_found.charge.last_set", "5 days"),
    ("rider.mass", "80 ± 1 kg"),
    ("rider.gear", "4 ± 1 kg"),
    ("wish.travel", "140 mm"),
    ("wish.aim", "as-it-rode"),
)
"""What is known of the fork in examples/shorten-t35.yaml."""

ARRIVAL = Arrival(customer=NewCustomer("Jo Example", "jo@example.org"), sheet="specimen/t35", facts=FACTS)


@dataclass
class Person:
    """Somebody who hands things in, each a minute after the one before."""

    name: str = "Kim"
    said: int = 0
    start: datetime = field(default=MORNING)

    def __call__(self, name: str = "", *, expected: int | None = None, note: str = "") -> Submission:
        """A submission with an id of its own."""
        self.said += 1
        at = self.start + timedelta(minutes=self.said)
        return Submission(name or f"{self.name}-{self.said}", self.name, at, expected, note)


def decided(store: Store, job: str, says: Person, facts: Facts = ()) -> JobView:
    """The job with what it asks answered and its plan decided."""
    proposal = propose(store, job, facts)
    for finding in proposal.plan.findings:
        if finding.severity == "question":
            said = Answered(finding.code, "Jo", "2026-03-02", "as it is")
            actions.record(store, job, says(), what=said)
    return actions.decide(store, propose(store, job, facts), says())


def on_the_bench(store: Store, says: Person, arrival: Arrival = ARRIVAL) -> JobView:
    """A job that was checked in, decided, prepared and started."""
    job = actions.check_in(store, arrival, says()).card.id
    decided(store, job, says)
    prepared(store, job, says)
    return actions.record(store, job, says(), what=Started())


def prepared(store: Store, job: str, says: Person) -> JobView:
    """The job with everything of its kit ticked."""
    return actions.record(store, job, says(), what=Prepared(supply_keys(store, job), ready=True))


def worked_through(store: Store, view: JobView, says: Person, *, steps: int | None = None) -> JobView:
    """The job with all its steps done as planned, or with some of them."""
    for step in bench_state(store, view.card.id).steps[:steps]:
        view = actions.record(store, view.card.id, says(), what=done_well(step))
    return view


def done_well(step: Step, seconds: float | None = None) -> StepDone:
    """A step done, with readings that pass."""
    return StepDone(step.key, as_it_should(step), seconds)


def as_it_should(step: Step) -> tuple[Reading, ...]:
    """Readings with which a step passes."""
    read = []
    for one in step.records:
        value = None if one.quantity is None else _passing(one)
        read.append(reading_of(one, "yes" if value is None else f"{value:g}", value))
    return (*read, *(Reading(one.key, one.what, GOOD, within_limits=True) for one in step.inspect))


def _passing(record: Record) -> float:
    planned = planned_value(record)
    if planned is not None:
        return planned
    return 5.0 if record.high is None else 0.5 * record.high


def as_words(readings: Iterable[Reading]) -> tuple[str, ...]:
    """Readings as options of a command line."""
    return tuple(word for one in readings for word in ("--reading", f"{one.key}={_as_typed(one)}"))


def _as_typed(reading: Reading) -> str:
    if reading.value is None or reading.quantity is None:
        return reading.as_typed
    unit, scale = {Quantity.PRESSURE: ("Pa", 1.0), Quantity.LENGTH: ("m", 1.0), Quantity.VOLUME: ("ml", 1e6)}.get(
        reading.quantity, ({Quantity.FORCE: "N", Quantity.TORQUE: "N·m"}.get(reading.quantity, ""), 1.0)
    )
    return f"{reading.value * scale!r} {unit}".strip()


def checked(work: BenchState) -> tuple[Reading, ...]:
    """A final check in which everything is as predicted, and the bike is back together."""
    typed = {one.key: Typed(f"{one.predicted.value:g}", one.predicted.value) for one in readings_due(work)}
    typed |= {key: Typed(YES) for key in to_read(work) if key.startswith(BACK)}
    return final_readings(work, typed, final_check_words)


def proven(store: Store, job: str, says: Person) -> JobView:
    """The job with its final check recorded, and proven by it."""
    readings = checked(bench_state(store, job))
    return actions.record(store, job, says(), what=FinalChecked(readings, passed=True))


def by_the_log(store: Store, job: str, payload: Payload, said: Submission, *, corrects: str | None = None) -> JobView:
    """An entry added below the door, held against the stage of the job and its log alone: for histories that no work
    would come to."""
    with store.writing() as transaction:
        return added(transaction, view_locked(transaction, job), payload, said, check=_by_the_log, corrects=corrects)


def _by_the_log(view: JobView, entry: Entry) -> None:
    if entry.corrects is not None:
        require_correction(view.state, entry.payload, entry.corrects)
        return
    require_permitted(view.state, type(entry.payload))
    if isinstance(entry.payload, StepDone):
        require_open_step(view.state, entry.payload)
    if isinstance(entry.payload, Resumed) and view.state.on_hold is None:
        raise NotNow("The job waits for nothing.", remedy="Open it again and go on.")


def decided_otherwise(store: Store, job: str, says: Person) -> JobView:
    """The job with a plan that an earlier program computed otherwise: another pressure, and a step less."""
    with store.writing() as transaction:
        made = decided_payload(transaction, propose(store, job))
        plan = json.loads(load_document(transaction, made.work).text) | {"program": "sagwright 0.0.1"}
        plan["target"]["pressure_gauge"]["value"] *= 1.01
        del plan["steps"][-1]
        work = add_document(transaction, made.work_shape, dump_json(plan))
    steps = tuple(step["key"] for step in plan["steps"])
    return by_the_log(store, job, replace(made, work=work, program=plan["program"], steps=steps), says())
