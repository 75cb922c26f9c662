"""Telling a story: each thing that is said has an id that follows from its place, and a time after the one before."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from sagwright.domain.finding import Severity
from sagwright.domain.plan import Plan
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Answered, Facts, HandedOver, Prepared, Proved, Reading, Recorded
from sagwright.formats.demo import plausible
from sagwright.formats.records.readings import Asked, asked_by, readings_of
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import decide, decision_of, propose
from sagwright.service.jobs.intake import Arrival, come_back, take_in
from sagwright.service.jobs.queries import open_job
from sagwright.service.workshop.records import keep_photo
from sagwright.store.workshop import Store

PUMP: Final = "demo-pump"


@dataclass
class Teller:
    """Who tells one job's story, and when.

    Attributes
    ----------
    key : str
        The job's id, "demo-harsh".
    at : datetime
        When it begins; it moves on with each thing that is said.
    by : str
    found : float or None
        What a gauge shows before anything is touched [Pa].
    """

    store: Store
    key: str
    at: datetime
    by: str
    found: float | None = None
    said: int = field(default=0)

    def says(self, minutes: float = 3.0) -> Submission:
        """The next submission; the first one is the job's id."""
        self.said += 1
        self.at += timedelta(minutes=minutes)
        return Submission(self.key if self.said == 1 else f"{self.key}-{self.said:03}", self.by, self.at)

    def day(self, after: int) -> str:
        """A date some days after now, year-month-day."""
        return (self.at + timedelta(days=after)).date().isoformat()

    def take_in(self, arrival: Arrival) -> JobView:
        """The unit comes in."""
        return take_in(self.store, arrival, self.says())

    def come_back(self, job: str, arrival: Arrival) -> JobView:
        """It comes back."""
        return come_back(self.store, job, arrival, self.says())

    def photo(self, data: bytes) -> str:
        """A photo's id."""
        return keep_photo(self.store, data, Submission(f"{self.key}-photo", self.by, self.at)).id

    def decide(self, facts: Facts = ()) -> JobView:
        """What asks is answered, and the plan is decided."""
        work = propose(self.store, self.key, facts).work
        asked = [one for one in work.findings if one.severity is Severity.ASK] if isinstance(work, Plan) else []
        for one in asked:
            answered = Answered(one.code, "the owner", self.day(0), "Yes, as it is.")
            actions.answer(self.store, self.key, self.says(), what=answered)
        return decide(self.store, propose(self.store, self.key, facts), self.says(8.0))

    def prepare_and_start(self) -> JobView:
        """The kit lies ready, and the unit is at the stand."""
        actions.prepare(self.store, self.key, self.says(10.0), what=Prepared(ready=True))
        return actions.start(self.store, self.key, self.says(2.0))

    def work(self, share: float = 1.0) -> JobView:
        """A share of the steps that are left, in their order, with what they ask to write down."""
        decision = decision_of(self.store, self.key)
        steps = open_job(self.store, self.key).view.state.left
        for step in steps[: round(share * len(steps))]:
            asked = asked_by(decision.work.text, step)
            readings = self.readings(asked, step)
            actions.record(self.store, self.key, self.says(2.5), what=Recorded(step, readings, 150.0))
        return open_job(self.store, self.key).view

    def readings(self, asked: dict[str, Asked], step: str) -> tuple[Reading, ...]:
        """Plausible ones."""
        typed = [plausible(one, f"{self.key} {step}", found=self.found) for one in asked.values()]
        return readings_of(typed, asked, instrument=PUMP)

    def prove(self) -> JobView:
        """As left is as planned: what the last steps asked for, read once more."""
        asked = asked_by(decision_of(self.store, self.key).work.text)
        last = {key: one for key, one in asked.items() if key in {"pressure_left", "exposed_change"}}
        said = self.says(6.0)
        return actions.prove(self.store, self.key, said, what=Proved(self.readings(last, "prove"), proven=True))

    def hand_over(self) -> JobView:
        """The owner takes it along."""
        checks = "wheel, axle and pinch bolts in order, hose free, brake pulled"
        what = HandedOver(accepted=True, how="in person", checks=checks, come_back=self.day(30))
        return actions.hand_over(self.store, self.key, self.says(90.0), what=what)
