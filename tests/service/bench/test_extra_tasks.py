"""Extras found at the stand: asked about, said yes or no to, and done with the rest, on both databases."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import ProblemFound, PutOnHold, Resumed, Withdrawn
from sagwright.domain.records.stages import HoldReason, Stage
from sagwright.errors import InputError, NotNow
from sagwright.formats.records.entries import payload_from_text, payload_to_text
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import record, with_extras
from sagwright.service.jobs.decision import decision_of, propose
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, FACTS, Person, on_the_bench, worked_through

ASK = PutOnHold(HoldReason.CUSTOMER, "the damper feels empty: take it out?", "60", ("damper",))
YES, NO = (Resumed("go on", "Jo", "2026-03-02", yes) for yes in (True, False))
OWN = {"off:damper", "on:damper"}


def part_way(store: Store, kim: Person, count: int) -> JobView:
    """A job of travel with some of its steps done."""
    view = on_the_bench(store, kim)
    return worked_through(store, view, kim, steps=count)


def asked(store: Store, kim: Person, view: JobView) -> JobView:
    record(store, view.card.id, kim(), what=ProblemFound(ASK.what, "off:adjusters"))
    return record(store, view.card.id, kim(), what=ASK)


@pytest.mark.parametrize("count", [20, 36])
def test_a_yes_makes_an_extra_part_of_the_rest(store: Store, kim: Person, count: int) -> None:
    view = part_way(store, kim, count)
    before = view.state.steps_left
    waiting = asked(store, kim, view)
    assert waiting.state.on_hold is not None
    assert waiting.state.on_hold.tasks == ("damper",)
    assert waiting.state.steps_left == before
    view = record(store, view.card.id, kim(), what=YES)
    assert view.state.tasks == ("damper",)
    assert set(before) | OWN <= set(view.state.steps_left)
    work = bench_state(store, view.card.id)
    assert {step.key for step in work.steps} == set(view.state.steps_left)
    assert len(work.done) == count
    decision = decision_of(store, view.card.id)
    assert json.loads(decision.work.text)["intake"]["tasks"] == [{"kind": "damper", "value": None, "item": ""}]
    view = worked_through(store, view, kim)
    assert view.card.stage is Stage.FINAL_CHECK
    assert bench_state(store, view.card.id).steps == ()


def test_a_no_leaves_the_work_without_it(store: Store, kim: Person) -> None:
    view = part_way(store, kim, 20)
    before = view.state.steps_left
    asked(store, kim, view)
    view = record(store, view.card.id, kim(), what=NO)
    assert view.state.tasks == ()
    assert view.state.steps_left == before
    assert {step.key for step in bench_state(store, view.card.id).steps} == set(before)


def test_a_yes_that_was_a_mistake_is_withdrawn_and_the_rest_is_as_it_was(store: Store, kim: Person) -> None:
    view = part_way(store, kim, 20)
    before = view.state.steps_left
    asked(store, kim, view)
    yes = kim()
    view = record(store, view.card.id, yes, what=YES)
    assert set(view.state.steps_left) >= OWN
    view = record(store, view.card.id, kim(), corrects=yes.id, what=Withdrawn("Jo meant the other fork"))
    assert set(view.state.steps_left) == set(before)


def test_a_no_that_was_a_yes_is_corrected_when_the_lowers_are_on_again(store: Store, kim: Person) -> None:
    view = part_way(store, kim, 20)
    asked(store, kim, view)
    no = kim()
    view = record(store, view.card.id, no, what=NO)
    keys = [step.key for step in bench_state(store, view.card.id).steps]
    view = worked_through(store, view, kim, steps=keys.index("on:lowers") + 1)
    view = record(store, view.card.id, kim(), corrects=no.id, what=YES)
    assert OWN | {"off:lowers:2", "on:lowers:2"} <= set(view.state.steps_left)
    for _ in range(4):
        view = worked_through(store, view, kim, steps=1)
        assert {one.key for one in bench_state(store, view.card.id).steps} == set(view.state.steps_left)


def test_an_extra_of_a_unit_that_was_proven_already_brings_it_back_to_the_bench(store: Store, kim: Person) -> None:
    view = worked_through(store, on_the_bench(store, kim), kim)
    assert view.card.stage is Stage.FINAL_CHECK
    record(store, view.card.id, kim(), what=ASK)
    view = record(store, view.card.id, kim(), what=YES)
    assert view.card.stage is Stage.BENCH
    assert view.state.steps_left[0] == "off:readings:2"
    assert set(view.state.steps_left) >= OWN
    assert worked_through(store, view, kim).card.stage is Stage.FINAL_CHECK


def test_an_extra_of_a_job_of_tasks_is_done_too(store: Store, kim: Person) -> None:
    tasks = ("set-pressure=80psi", "lower-legs")
    view = on_the_bench(store, kim, replace(ARRIVAL, facts=FACTS[:2], tasks=tasks))
    view = worked_through(store, view, kim, steps=15)
    record(store, view.card.id, kim(), what=ASK)
    view = record(store, view.card.id, kim(), what=YES)
    assert set(view.state.steps_left) >= OWN
    assert view.state.tasks == (*tasks, "damper")
    for _ in range(6):
        view = worked_through(store, view, kim, steps=1)
        assert {one.key for one in bench_state(store, view.card.id).steps} == set(view.state.steps_left)


def test_what_cannot_be_done_is_said_before_the_customer_is_asked(store: Store, kim: Person) -> None:
    view = part_way(store, kim, 20)
    for text in ("measure", "change-travel=130mm", "inspect=nothing"):
        with pytest.raises(InputError):
            record(store, view.card.id, kim(), what=replace(ASK, tasks=(text,)))
    assert with_extras(store, view.card.id, ("damper",)).steps != bench_state(store, view.card.id).steps
    assert bench_state(store, view.card.id).view.state.on_hold is None


def test_what_makes_the_wish_impossible_leaves_the_way_back_together(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    assert view.state.fact("wish.aim") == "as-it-rode"
    view = worked_through(store, view, kim, steps=view.state.steps_left.index("change:travel_spacers"))
    what = ProblemFound(
        "the transfer port stands a hole too low", "change:transfer_port", (), (("port_position", 1.0),)
    )
    view = record(store, view.card.id, kim(), what=what)
    work = bench_state(store, view.card.id)
    assert work.impossible
    assert {step.key for step in work.steps} == set(view.state.steps_left)
    assert view.state.steps_left[-1] == "on:readings"
    with pytest.raises(NotNow, match="cannot stand beside"):
        worked_through(store, view, kim, steps=1)
    view = actions.confirm_contradictions(store, view.card.id, kim(), answer="counted a second time: it is so")
    for _ in view.state.steps_left:
        view = worked_through(store, view, kim, steps=1)
        assert {one.key for one in bench_state(store, view.card.id).steps} == set(view.state.steps_left)
    assert view.card.stage is Stage.FINAL_CHECK


def test_an_extra_said_yes_to_is_in_what_is_chosen_anew(store: Store, kim: Person) -> None:
    view = part_way(store, kim, 3)
    asked(store, kim, view)
    record(store, view.card.id, kim(), what=YES)
    assert {step.key for step in propose(store, view.card.id).plan.work.steps} >= OWN


def test_a_question_without_extras_is_written_as_before() -> None:
    plain = '{"shape":"entry/1","reason":"customer","what":"w","amount":"","kind":"put on hold"}'
    assert payload_to_text(payload_from_text(plain)) == plain
    assert payload_from_text(payload_to_text(ASK)) == ASK
