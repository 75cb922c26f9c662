"""Telling a story: each thing that is said has an id that follows from its place, and a time after the one before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from sagwright.domain.diagnosis import BACK
from sagwright.domain.finding import Severity
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.evidence import GOOD
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Answered, Facts, HandedOver, Prepared, Proved, Reading, Recorded, Started
from sagwright.domain.step import Step
from sagwright.formats.demo import plausible, plausible_final
from sagwright.formats.records.readings import asked_by, readings_of
from sagwright.service.bench.final_check import to_prove, to_read
from sagwright.service.bench.state import at_the_stand
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import kit_keys, propose
from sagwright.service.jobs.intake import Arrival
from sagwright.service.jobs.queries import open_job
from sagwright.service.jobs.readings import read_final_check
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
    words : callable
        What a key of the final check is called.
    found : float or None
        What a gauge shows before anything is touched [Pa].
    """

    store: Store
    key: str
    at: datetime
    by: str
    words: Callable[[str], str]
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
        return actions.take_in(self.store, arrival, self.says())

    def come_back(self, job: str, arrival: Arrival) -> JobView:
        """It comes back."""
        return actions.come_back(self.store, job, arrival, self.says())

    def photo(self, data: bytes) -> str:
        """A photo's id."""
        return keep_photo(self.store, data, Submission(f"{self.key}-photo", self.by, self.at)).id

    def decide(self, facts: Facts = ()) -> JobView:
        """What asks is answered, and the plan is decided."""
        plan = propose(self.store, self.key, facts).plan
        asked = [one for one in plan.findings if one.severity is Severity.ASK]
        for one in asked:
            answered = Answered(one.code, "the owner", self.day(0), "Yes, as it is.")
            actions.record(self.store, self.key, self.says(), what=answered)
        return actions.decide(self.store, propose(self.store, self.key, facts), self.says(8.0))

    def prepare_and_start(self) -> JobView:
        """The kit lies ready, and the unit is at the stand."""
        ticked = kit_keys(self.store, self.key)
        actions.record(self.store, self.key, self.says(10.0), what=Prepared(ticked, ready=True))
        return actions.record(self.store, self.key, self.says(2.0), what=Started())

    def work(self, share: float = 1.0) -> JobView:
        """A share of the steps that are left, in their order, with what they ask to write down."""
        steps = at_the_stand(self.store, self.key).steps
        for step in steps[: round(share * len(steps))]:
            what = Recorded(step.key, self.readings(step), 150.0)
            actions.record(self.store, self.key, self.says(2.5), what=what)
        return open_job(self.store, self.key).view

    def readings(self, step: Step) -> tuple[Reading, ...]:
        """Plausible ones."""
        seed = f"{self.key} {step.key}"
        typed = [plausible(one, seed, found=self.found) for one in asked_by(step).values()]
        good = [f"{one.key}={GOOD}" for one in step.inspect]
        return readings_of((*typed, *good), step, instrument=PUMP)

    def prove(self) -> JobView:
        """As left is as planned: every reading that was predicted, and the bike back together."""
        work = at_the_stand(self.store, self.key)
        typed = [f"{key}=yes" for key in to_read(work) if key.startswith(BACK)]
        typed += [plausible_final(one, f"{self.key} prove") for one in to_prove(work)]
        readings = read_final_check(self.store, self.key, typed, self.words, instrument=PUMP)
        return actions.record(self.store, self.key, self.says(6.0), what=Proved(readings, proven=True))

    def hand_over(self) -> JobView:
        """The owner takes it along."""
        checks = "wheel, axle and pinch bolts in order, hose free, brake pulled"
        what = HandedOver(accepted=True, how="the owner, in person", checks=checks, come_back=self.day(30))
        return actions.record(self.store, self.key, self.says(90.0), what=what)
