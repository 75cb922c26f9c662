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
from sagwright.domain.records.payloads import (
    Answered,
    Facts,
    FinalChecked,
    HandedOver,
    Prepared,
    Reading,
    Started,
    StepDone,
)
from sagwright.domain.step import Step
from sagwright.formats.demo import plausible, plausible_final
from sagwright.formats.records.readings import readings_from_text, required_readings
from sagwright.service.bench.final_check import readings_due, to_read
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import propose, supply_keys
from sagwright.service.jobs.intake import Arrival
from sagwright.service.jobs.queries import open_job
from sagwright.service.jobs.readings import read_final_check
from sagwright.service.workshop.records import save_photo
from sagwright.store.workshop import Store

PUMP_NAME: Final = "demo-pump"


@dataclass
class Narrator:
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
    count: int = field(default=0)

    def says(self, minutes: float = 3.0) -> Submission:
        """The next submission; the first one is the job's id."""
        self.count += 1
        self.at += timedelta(minutes=minutes)
        return Submission(self.key if self.count == 1 else f"{self.key}-{self.count:03}", self.by, self.at)

    def day(self, after: int) -> str:
        """A date some days after now, year-month-day."""
        return (self.at + timedelta(days=after)).date().isoformat()

    def check_in(self, arrival: Arrival) -> JobView:
        """The unit comes in."""
        return actions.check_in(self.store, arrival, self.says())

    def come_back(self, job: str, arrival: Arrival) -> JobView:
        """It comes back."""
        return actions.check_in_comeback(self.store, job, arrival, self.says())

    def photo(self, data: bytes) -> str:
        """A photo's id."""
        return save_photo(self.store, data, Submission(f"{self.key}-photo", self.by, self.at)).id

    def decide(self, facts: Facts = ()) -> JobView:
        """What asks is answered, and the plan is decided."""
        plan = propose(self.store, self.key, facts).plan
        asked = [one for one in plan.findings if one.severity is Severity.QUESTION]
        for one in asked:
            answered = Answered(one.code, "the customer", self.day(0), "Yes, as it is.")
            actions.record(self.store, self.key, self.says(), what=answered)
        return actions.decide(self.store, propose(self.store, self.key, facts), self.says(8.0))

    def prepare_and_start(self) -> JobView:
        """The tools and parts lies ready, and the unit is at the stand."""
        ticked = supply_keys(self.store, self.key)
        actions.record(self.store, self.key, self.says(10.0), what=Prepared(ticked, ready=True))
        return actions.record(self.store, self.key, self.says(2.0), what=Started())

    def work(self, share: float = 1.0) -> JobView:
        """A share of the steps that are left, in their order, with what they ask to write down."""
        steps = bench_state(self.store, self.key).steps
        for step in steps[: round(share * len(steps))]:
            what = StepDone(step.key, self.readings(step), 150.0)
            actions.record(self.store, self.key, self.says(2.5), what=what)
        return open_job(self.store, self.key).view

    def readings(self, step: Step) -> tuple[Reading, ...]:
        """Plausible ones."""
        seed = f"{self.key} {step.key}"
        typed = [plausible(one, seed, found=self.found) for one in required_readings(step).values()]
        good = [f"{one.key}={GOOD}" for one in step.inspect]
        return readings_from_text((*typed, *good), step, instrument=PUMP_NAME)

    def final_check(self) -> JobView:
        """As left is as planned: every reading that was predicted, and the bike back together."""
        work = bench_state(self.store, self.key)
        typed = [f"{key}=yes" for key in to_read(work) if key.startswith(BACK)]
        typed += [plausible_final(one, f"{self.key} final check") for one in readings_due(work)]
        readings = read_final_check(self.store, self.key, typed, self.words, instrument=PUMP_NAME)
        return actions.record(self.store, self.key, self.says(6.0), what=FinalChecked(readings, passed=True))

    def hand_over(self) -> JobView:
        """The customer takes it along."""
        checks = "wheel, axle and pinch bolts in order, hose free, brake pulled"
        what = HandedOver(accepted=True, how="the customer, in person", checks=checks, come_back=self.day(30))
        return actions.record(self.store, self.key, self.says(90.0), what=what)
