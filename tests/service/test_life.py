"""A job's life, drawn at random and held against a model that is a list and a few words, on both databases."""

from __future__ import annotations

import itertools
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, consumes, invariant, rule, run_state_machine_as_test

from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.payloads import (
    Decided,
    DueDateSet,
    FinalChecked,
    HandedOver,
    IntakeUpdated,
    Noted,
    PassedOn,
    Payload,
    PutOnHold,
    Resumed,
    Started,
    StepDone,
    Withdrawn,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.errors import Conflict, NotNow
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import board, open_job
from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.support.postgresql import Server
from tests.support.workshops import ARRIVAL, FACTS, MORNING, by_the_log

MAY: dict[str, str] = {  # what may be said at which stages
    "decide": "plan, prepare, bench, final check, hand over",
    "start": "prepare, bench, final check, hand over",
    "record": "bench, final check, hand over",
    "final_check": "final check, hand over",
    "hand": "hand over",
    "note": "plan, prepare, bench, final check, hand over, handed over, refused, scrapped",
}
OPEN = "plan, prepare, bench, final check, hand over"
STILL = ("start", "record", "final_check", "hand")  # not while the job waits

PEOPLE = st.sampled_from(["Kim", "Lou", "Ada"])
STEPS = st.lists(st.sampled_from("abcd"), max_size=3, unique=True).map(tuple)
COUNT = itertools.count()


@dataclass
class Told:
    """One thing that was said and recorded."""

    id: str
    what: str
    detail: Any
    by: str
    withdrawn: bool = False


@dataclass
class Model:
    """A job as a list of what was said."""

    job: str
    told: list[Told] = field(default_factory=list)
    entries: int = 1
    kept: list[Entry] = field(default_factory=list)

    def now(self) -> dict[str, Any]:
        """Where all of it leads, in order."""
        job: dict[str, Any] = {"stage": "plan", "left": [], "done": [], "holder": "", "waits": False}
        job |= {"due": None, "travel": "140 mm", "started": False, "ever": []}
        for one in self.told:
            if not one.withdrawn:
                getattr(self, one.what)(job, one)
        return job

    def decide(self, job: dict[str, Any], one: Told) -> None:
        job["left"] = list(one.detail)
        job["ever"] = list(one.detail)
        job["stage"] = ("bench" if one.detail else "final check") if job["started"] else "prepare"

    def start(self, job: dict[str, Any], one: Told) -> None:
        job["holder"] = one.by
        job["started"] = True
        if job["stage"] == "prepare":
            job["stage"] = "bench" if job["left"] else "final check"

    def record(self, job: dict[str, Any], one: Told) -> None:
        job["left"] = [step for step in job["left"] if step != one.detail]
        job["done"].append(one.detail)
        if job["stage"] == "bench" and not job["left"]:
            job["stage"] = "final check"

    def final_check(self, job: dict[str, Any], one: Told) -> None:
        job["stage"] = "hand over" if one.detail else "final check"

    def hand(self, job: dict[str, Any], _: Told) -> None:
        job.update(stage="handed over", holder="", waits=False)

    def turn(self, job: dict[str, Any], one: Told) -> None:
        job.update(stage="scrapped" if one.detail else "refused", holder="", waits=False)

    def wait(self, job: dict[str, Any], _: Told) -> None:
        job["waits"] = True

    def resume(self, job: dict[str, Any], _: Told) -> None:
        job["waits"] = False

    def note(self, job: dict[str, Any], one: Told) -> None:
        pass

    def pass_on(self, job: dict[str, Any], one: Told) -> None:
        job["holder"] = one.detail

    def promise(self, job: dict[str, Any], one: Told) -> None:
        job["due"] = one.detail

    def settle(self, job: dict[str, Any], one: Told) -> None:
        job["travel"] = one.detail

    def may(self, what: str, detail: object) -> bool:
        """Whether it may be said now."""
        job = self.now()
        if job["stage"] not in MAY.get(what, OPEN).split(", "):
            return False
        if job["waits"] and what in STILL:
            return False
        if what == "resume" and not job["waits"]:
            return False
        known = detail in [*job["done"], *job["ever"]]
        return what != "record" or detail in job["left"] or not known


class Life(RuleBasedStateMachine):
    """Jobs to which anything is said, by anyone, at any time, and sometimes twice."""

    store: ClassVar[Store]
    jobs = Bundle("jobs")
    said = Bundle("said")

    def __init__(self) -> None:
        super().__init__()
        self.models: dict[str, Model] = {}

    @rule(target=jobs, by=PEOPLE)
    def come_in(self, by: str) -> str:
        return self.come_in_now(by)

    def come_in_now(self, by: str) -> str:
        key = f"job-{next(COUNT)}"
        view = check_in(self.store, replace(ARRIVAL, facts=FACTS), Submission(key, by, MORNING))
        self.models[key] = Model(key, kept=list(view.entries))
        return key

    def say(self, job: str, what: str, payload: Payload, detail: object, by: str) -> tuple[str, str, Payload, str]:
        """Say it to the store and the model; both accept it, or neither."""
        model, key = self.models[job], f"said-{next(COUNT)}"
        seen = model.entries if what in {"decide", "turn"} else None
        if model.may(what, detail):
            by_the_log(self.store, job, payload, Submission(key, by, MORNING, seen))
            model.told.append(Told(key, what, detail, by))
            model.entries += 1
        else:
            with pytest.raises(NotNow):
                by_the_log(self.store, job, payload, Submission(key, by, MORNING, seen))
        return job, key, payload, by

    @rule(target=said, job=jobs, steps=STEPS, by=PEOPLE)
    def decide(self, job: str, steps: tuple[str, ...], by: str) -> object:
        return self.decide_now(job, steps, by)

    def decide_now(self, job: str, steps: tuple[str, ...], by: str) -> object:
        sheet = open_job(self.store, job).view.state.sheet
        payload = Decided("a document", "plan/1", "a program", sheet, steps=steps)
        return self.say(job, "decide", payload, steps, by)

    @rule(target=said, job=jobs, by=PEOPLE)
    def start(self, job: str, by: str) -> object:
        return self.say(job, "start", Started(), None, by)

    @rule(target=said, job=jobs, step=st.sampled_from("abcd"), by=PEOPLE)
    def record(self, job: str, step: str, by: str) -> object:
        return self.say(job, "record", StepDone(step), step, by)

    @rule(target=jobs, by=PEOPLE, steps=STEPS.filter(bool))
    def come_to_the_bench(self, by: str, steps: tuple[str, ...]) -> str:
        """The usual way, so that what happens at the stand is not left to luck."""
        job = self.come_in_now(by)
        self.decide_now(job, steps, by)
        self.say(job, "start", Started(), None, by)
        return job

    @rule(target=said, job=jobs, by=PEOPLE)
    def record_the_next(self, job: str, by: str) -> object:
        step = next(iter(self.models[job].now()["left"]), "a")
        return self.say(job, "record", StepDone(step), step, by)

    @rule(target=said, job=jobs, passed=st.booleans(), by=PEOPLE)
    def final_check(self, job: str, passed: bool, by: str) -> object:  # noqa: FBT001
        return self.say(job, "final_check", FinalChecked(passed=passed), passed, by)

    @rule(target=said, job=jobs, by=PEOPLE)
    def hand(self, job: str, by: str) -> object:
        return self.say(job, "hand", HandedOver(accepted=True), None, by)

    @rule(target=said, job=jobs, scrapped=st.booleans(), by=PEOPLE)
    def turn(self, job: str, scrapped: bool, by: str) -> object:  # noqa: FBT001
        return self.say(job, "turn", WorkRefused("why", scrapped), scrapped, by)

    @rule(target=said, job=jobs, by=PEOPLE)
    def wait(self, job: str, by: str) -> object:
        return self.say(job, "wait", PutOnHold(HoldReason.PARTS, "a seal"), None, by)

    @rule(target=said, job=jobs, by=PEOPLE)
    def resume(self, job: str, by: str) -> object:
        return self.say(job, "resume", Resumed(), None, by)

    @rule(target=said, job=jobs, by=PEOPLE, text=st.text(st.characters(exclude_characters="\0", codec="utf-8")))
    def note(self, job: str, by: str, text: str) -> object:
        return self.say(job, "note", Noted(text), text, by)

    @rule(target=said, job=jobs, by=PEOPLE, to=PEOPLE | st.just(""))
    def pass_on(self, job: str, by: str, to: str) -> object:
        return self.say(job, "pass_on", PassedOn(to), to, by)

    @rule(target=said, job=jobs, by=PEOPLE, day=st.sampled_from([None, "2026-03-09"]))
    def promise(self, job: str, by: str, day: str | None) -> object:
        return self.say(job, "promise", DueDateSet(day), day, by)

    @rule(target=said, job=jobs, by=PEOPLE, travel=st.sampled_from(["130 mm", "150 mm"]))
    def settle(self, job: str, by: str, travel: str) -> object:
        return self.say(job, "settle", IntakeUpdated((("wish.travel", travel),)), travel, by)

    @rule(again=said)
    def tap_twice(self, again: tuple[str, str, Payload, str]) -> None:
        """What was recorded is found again, and nothing more is recorded."""
        job, key, payload, by = again
        if any(one.id == key for one in self.models[job].told):
            assert by_the_log(self.store, job, payload, Submission(key, by, MORNING, 1)).card.entries

    @rule(again=said)
    def another_thing_under_the_same_id(self, again: tuple[str, str, Payload, str]) -> None:
        job, key, _, by = again
        if any(one.id == key for one in self.models[job].told):
            with pytest.raises(Conflict):
                by_the_log(self.store, job, Noted("something else entirely"), Submission(key, by, MORNING))

    @rule(job=jobs, by=PEOPLE)
    def decide_on_what_is_gone(self, job: str, by: str) -> None:
        seen = self.models[job].entries - 1
        with pytest.raises(Conflict):
            by_the_log(self.store, job, Noted("late"), Submission(f"late-{next(COUNT)}", by, MORNING, seen))

    @rule(again=consumes(said), by=PEOPLE)
    def withdraw(self, again: tuple[str, str, Payload, str], by: str) -> None:
        """As if it had never been said; what came after stays."""
        job, key, _, _ = again
        model = self.models[job]
        for one in model.told:
            if one.id == key:
                said = Submission(f"not-{next(COUNT)}", by, MORNING)
                by_the_log(self.store, job, Withdrawn("a mistake"), said, corrects=key)
                one.withdrawn = True
                model.entries += 1

    @invariant()
    def the_store_says_what_the_model_says(self) -> None:
        for job, model in self.models.items():
            view, now = open_job(self.store, job).view, model.now()
            card, state = view.card, view.state
            assert (card.stage, card.holder, card.due) == (now["stage"], now["holder"], now["due"])
            assert (card.stage, card.entries, card.updated) == (state.stage, state.entries, state.updated)
            assert (list(state.steps_left), list(state.done)) == (now["left"], now["done"])
            assert (state.on_hold is not None, state.fact("wish.travel")) == (now["waits"], now["travel"])
            assert [one.ordinal for one in view.entries] == list(range(1, model.entries + 1))
            assert view.entries[: len(model.kept)] == tuple(model.kept)
            model.kept = list(view.entries)

    @invariant()
    def the_board_has_what_is_open(self) -> None:
        mine = {card.id for card in board(self.store)} & self.models.keys()
        assert mine == {job for job, model in self.models.items() if model.now()["stage"] in OPEN.split(", ")}


def _try(store: Store, *, share: int) -> None:
    machine = type("Life", (Life,), {"store": store})
    usual = settings()
    chosen = settings(
        usual,
        max_examples=usual.max_examples // share,
        stateful_step_count=30,
        suppress_health_check=[HealthCheck.too_slow],
    )
    run_state_machine_as_test(machine, settings=chosen)


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as made:
        yield Path(made)


@pytest.mark.law
def test_a_life_in_sqlite(folder: Path) -> None:
    with open_workshop(folder / "life.sqlite") as store:
        _try(store, share=8)


@pytest.mark.law
def test_a_life_in_postgresql(postgresql: Server) -> None:
    with open_workshop(postgresql.new_database()) as store:
        _try(store, share=15)
