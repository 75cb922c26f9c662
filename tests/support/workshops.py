"""Workshops to try things in: empty ones on both databases, and how a unit comes into one."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Answered, Facts, Prepared, Recorded
from sagwright.service.choosing import decide, propose
from sagwright.service.jobs import answer, prepare, record, start
from sagwright.service.taking_in import Arrival, NewOwner, take_in
from sagwright.store.store import Store

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

FACTS: Facts = (
    ("unit.serial", "0417"),
    ("unit.chassis", "mid"),
    ("as_found.travel", "150 ± 2 mm"),
    ("as_found.travel_spacers", "0"),
    ("as_found.equaliser_hole", "0"),
    ("as_found.volume_spacers", "1"),
    ("as_found.charge.pressure", "78 ± 2 psi"),
    ("as_found.charge.last_set", "5 days"),
    ("rider.mass", "80 ± 1 kg"),
    ("rider.kit", "4 ± 1 kg"),
    ("wish.travel", "140 mm"),
    ("wish.aim", "as-it-rode"),
)
"""What is known of the fork in examples/shorten-t35.yaml."""

ARRIVAL = Arrival(owner=NewOwner("Jo Example", "jo@example.org"), sheet="specimen/t35", facts=FACTS)


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
    for finding in getattr(proposal.work, "findings", ()):
        if finding.severity == "ask":
            said = Answered(finding.code, "Jo", "2026-03-02", "as it is")
            answer(store, job, says(), what=said)
    return decide(store, propose(store, job, facts), says())


def on_the_bench(store: Store, says: Person, arrival: Arrival = ARRIVAL) -> JobView:
    """A job that was taken in, decided, prepared and started."""
    job = take_in(store, arrival, says()).card.id
    decided(store, job, says)
    prepare(store, job, says(), what=Prepared(ready=True))
    return start(store, job, says())


def worked_through(store: Store, view: JobView, says: Person) -> JobView:
    """The job with all its steps done."""
    for step in view.state.left:
        view = record(store, view.card.id, says(), what=Recorded(step))
    return view
