"""A job from check in to hand over, without any web, on both databases."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from sagwright.domain.records.payloads import (
    Answered,
    HandedOver,
    IntakeUpdated,
    Noted,
    ProblemFound,
    PutOnHold,
    Resumed,
    Started,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason, Stage
from sagwright.errors import Conflict, NotNow, NotThere
from sagwright.formats.intake.load import load_intake
from sagwright.formats.output.plan import plan_to_json
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in, check_in_comeback
from sagwright.service.jobs.decision import decision_of, propose
from sagwright.service.jobs.intake import Arrival, NewBicycle, NewCustomer
from sagwright.service.jobs.queries import board, history_of_serial, open_job, open_job_numbered, search_jobs
from sagwright.service.plan import plan
from sagwright.store.workshop import Store
from tests.support.command_line import SHORTEN
from tests.support.selections import selection_of
from tests.support.workshops import (
    ARRIVAL,
    FACTS,
    Person,
    decided,
    done_well,
    on_the_bench,
    prepared,
    proven,
    worked_through,
)


def test_from_check_in_to_hand_over(store: Store, kim: Person) -> None:
    view = check_in(store, ARRIVAL, kim("first"))
    assert (view.card.id, view.card.number, view.card.stage) == ("first", 1001, Stage.PLAN)
    assert decided(store, "first", kim).state.stage is Stage.PREPARE
    assert prepared(store, "first", kim).state.ready
    view = actions.record(store, "first", kim(), what=Started())
    assert (view.card.stage, view.card.holder) == (Stage.BENCH, "Kim")
    view = worked_through(store, view, kim)
    assert view.card.stage is Stage.FINAL_CHECK
    view = proven(store, "first", kim)
    assert view.card.stage is Stage.HAND_OVER
    view = actions.record(store, "first", kim(), what=HandedOver(accepted=True, how="in person"))
    assert (view.card.stage, view.card.holder, board(store)) == (Stage.HANDED_OVER, "", ())
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))
    assert open_job(store, "first").view == view


def test_a_plan_is_that_of_the_same_intake_from_a_file(store: Store, kim: Person) -> None:
    check_in(store, ARRIVAL, kim("first"))
    decided(store, "first", kim)
    kept = json.loads(decision_of(store, "first").work.text)
    from_file = json.loads(plan_to_json(plan(load_intake(SHORTEN))))
    for plain in (kept, from_file):
        del plain["intake"]["name"], plain["intake"]["answers"]
    around = ("workshop", "as_found")  # the file states the air around the bench
    same = {key: value for key, value in kept["intake"].items() if key not in around}
    assert same == {key: value for key, value in from_file["intake"].items() if key not in around}
    assert [step["key"] for step in kept["steps"]] == [step["key"] for step in from_file["steps"]]


def test_what_was_decided_reads_back_unchanged(store: Store, kim: Person) -> None:
    check_in(store, ARRIVAL, kim("first"))
    proposal = propose(store, "first", (("wish.travel", "130 mm"),))
    view = decided(store, "first", kim, (("wish.travel", "130 mm"),))
    decision = decision_of(store, "first")
    assert json.loads(decision.work.text)["target"]["travel"]["value"] == pytest.approx(0.130)
    assert decision.decided.work_shape == "plan/1"
    assert decision.decided.program.startswith("sagwright ")
    assert decision.decided.sheet == proposal.known.revision.id
    assert view.state.fact("wish.travel") == "130 mm"
    assert decision.intake is not None
    assert '"wish": {' in decision.intake.text


def test_tasks_alone_are_put_in_order(store: Store, kim: Person) -> None:
    service = replace(ARRIVAL, facts=FACTS[:2], tasks=("set-pressure=80psi", "lower-legs"))
    check_in(store, service, kim("first"))
    view = actions.decide(store, propose(store, "first"), kim())
    assert view.state.decision is not None
    assert view.state.decision.work_shape == "plan/1"
    assert "off:lowers" in view.state.steps_left


def test_a_wish_for_travel_and_tasks_are_one_work_that_its_kept_intake_says(store: Store, kim: Person) -> None:
    check_in(store, replace(ARRIVAL, tasks=("wipers", "damper")), kim("first"))
    view = decided(store, "first", kim)
    assert view.state.decision is not None
    assert view.state.decision.work_shape == "plan/1"
    assert {"change:travel_spacers", "on:wipers", "off:damper"} <= set(view.state.steps_left)
    decision = decision_of(store, "first")
    assert decision.intake is not None
    assert json.loads(decision.intake.text)["tasks"] == ["wipers", "damper"]
    needed = {
        step["key"]: [task["kind"] for task in step["needed_by"]] for step in json.loads(decision.work.text)["steps"]
    }
    assert needed["on:wipers"] == ["wipers"]
    assert needed["off:lowers"] == ["change-travel", "wipers", "damper"]
    assert {step.key for step in bench_state(store, "first").steps} == set(view.state.steps_left)


def test_a_task_that_contradicts_the_wish_cannot_be_decided(store: Store, kim: Person) -> None:
    check_in(store, replace(ARRIVAL, tasks=("change-travel=130mm",)), kim("first"))
    with pytest.raises(NotNow, match=r"task\.contradicts"):
        actions.decide(store, propose(store, "first"), kim())


def test_a_refused_wish_cannot_be_decided(store: Store, kim: Person) -> None:
    check_in(store, ARRIVAL, kim("first"))
    with pytest.raises(NotNow, match=r"travel\.not-permitted"):
        actions.decide(store, propose(store, "first", (("wish.travel", "200 mm"),)), kim())
    assert open_job(store, "first").view.card.entries == 1


def test_what_asks_must_be_answered_first(store: Store, kim: Person) -> None:
    unasked = tuple(fact for fact in FACTS if fact[0] != "as_found.charge.last_set")
    check_in(store, replace(ARRIVAL, facts=unasked), kim("first"))
    asked = [one.code for one in getattr(propose(store, "first").plan, "findings", ()) if one.severity == "question"]
    assert asked
    with pytest.raises(NotNow, match=asked[0]):
        actions.decide(store, propose(store, "first"), kim())
    for code in asked:
        actions.record(store, "first", kim(), what=Answered(code, "Jo", "2026-03-02", "yes"))
    assert actions.decide(store, propose(store, "first"), kim()).card.stage is Stage.PREPARE


def test_an_unknown_is_settled_and_the_plan_follows(store: Store, kim: Person) -> None:
    unknown = tuple((path, "unknown until open" if "spacers" in path else text) for path, text in FACTS)
    check_in(store, replace(ARRIVAL, facts=unknown), kim("first"))
    before = propose(store, "first").plan
    actions.update_intake(store, "first", kim(), what=IntakeUpdated((("as_found.travel_spacers", "0"),)))
    actions.update_intake(store, "first", kim(), what=IntakeUpdated((("as_found.volume_spacers", "1"),)))
    after = propose(store, "first").plan
    assert len(selection_of(before).spring.as_found) > 1
    assert len(selection_of(after).spring.as_found) == 1


def test_a_half_read_unit_stays_at_check_in(store: Store, kim: Person) -> None:
    check_in(store, replace(ARRIVAL, complete=False), kim("first"))
    with pytest.raises(NotNow, match="check in"):
        actions.record(store, "first", kim(), what=Started())
    view = actions.update_intake(store, "first", kim(), what=IntakeUpdated())
    assert view.card.stage is Stage.PLAN


def test_waiting_holds_the_work(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    job = view.card.id
    view = actions.record(store, job, kim(), what=PutOnHold(HoldReason.CUSTOMER, "scratched stanchion", "120"))
    assert (view.card.on_hold, view.card.on_hold_what) == ("customer", "scratched stanchion")
    first = done_well(bench_state(store, job).steps[0])
    with pytest.raises(NotNow, match="scratched stanchion"):
        actions.record(store, job, kim(), what=first)
    view = actions.record(store, job, kim(), what=Resumed("do it", "Jo", "2026-03-03", yes=True))
    assert view.card.on_hold == ""
    with pytest.raises(NotNow, match="waits for nothing"):
        actions.record(store, job, kim(), what=Resumed())
    assert actions.record(store, job, kim(), what=first).card.stage is Stage.BENCH


def test_refused_and_scrapped(store: Store, kim: Person) -> None:
    for scrapped, stage in ((False, Stage.REFUSED), (True, Stage.SCRAPPED)):
        job = check_in(store, ARRIVAL, kim()).card.id
        view = actions.record(store, job, kim(), what=WorkRefused("cracked crown", scrapped=scrapped))
        assert view.card.stage is stage
        with pytest.raises(NotNow):
            actions.decide(store, propose(store, job), kim())
        assert actions.record(store, job, kim(), what=Noted("picked up")).state.closed


def test_a_comeback_is_a_new_job_linked_to_the_old_one(store: Store, kim: Person) -> None:
    old = check_in(store, ARRIVAL, kim("old"))
    again = Arrival(customer="", sheet="", facts=(("wish.travel", "150 mm"),), symptoms="knocks")
    with pytest.raises(NotNow, match="still open"):
        check_in_comeback(store, "old", again, kim())
    actions.record(store, "old", kim(), what=WorkRefused("not today"))
    view = check_in_comeback(store, "old", again, kim("new"))
    assert (view.card.comeback_of, view.card.unit, view.card.customer) == ("old", old.card.unit, old.card.customer)
    assert view.state.fact("unit.serial") == "0417"
    (unit,) = history_of_serial(store, "0417")
    assert [one.card.id for one in unit.jobs] == ["old", "new"]


def test_several_units_in_one_visit(store: Store, kim: Person) -> None:
    first = check_in(store, replace(ARRIVAL, bicycle=NewBicycle("Trail bike")), kim())
    shock = Arrival(
        customer=first.card.customer,
        bicycle=first.state.bicycle,
        visit=first.card.visit,
        sheet="specimen/p34",
        facts=(("unit.chassis", "standard"), ("unit.serial", "P34-1")),
    )
    second = check_in(store, shock, kim())
    assert second.card.number == first.card.number + 1
    assert [one.id for one in open_job_numbered(store, first.card.number).same_visit] == [second.card.id]
    assert open_job(store, second.card.id).customer.name == "Jo Example"


def test_a_visit_is_one_customers(store: Store, kim: Person) -> None:
    first = check_in(store, ARRIVAL, kim())
    with pytest.raises(NotNow, match="another customer"):
        check_in(store, replace(ARRIVAL, customer=NewCustomer("Sam Example"), visit=first.card.visit), kim())
    assert len(board(store)) == 1


def test_found_inside_is_not_what_the_sticker_says(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    job = view.card.id
    actions.record(store, job, kim(), what=ProblemFound("two spacers, none expected", found=(("travel_spacers", 2.0),)))
    view = actions.update_intake(
        store, job, kim(), what=IntakeUpdated((("unit.chassis", "long"), ("unit.serial", "0418")))
    )
    assert (view.card.serial, view.card.chassis) == ("0418", "long")
    assert history_of_serial(store, "0417") == ()
    assert [card.id for card in search_jobs(store, "0418")] == [job]


def test_what_is_not_there_is_said(store: Store, kim: Person) -> None:
    for call in (
        lambda: open_job(store, "none"),
        lambda: open_job_numbered(store, 7),
        lambda: actions.record(store, "none", kim(), what=Started()),
        lambda: check_in(store, replace(ARRIVAL, customer="nobody"), kim()),
        lambda: check_in(store, replace(ARRIVAL, unit="none"), kim()),
        lambda: check_in(store, replace(ARRIVAL, visit="none"), kim()),
        lambda: check_in(store, replace(ARRIVAL, bicycle="none"), kim()),
        lambda: check_in(store, replace(ARRIVAL, photos=("none",)), kim()),
        lambda: check_in(store, replace(ARRIVAL, sheet="specimen/none"), kim()),
    ):
        with pytest.raises(NotThere):
            call()
    assert board(store) == ()
    assert search_jobs(store, "Jo") == ()


def test_decided_on_what_was_seen(store: Store, kim: Person, lou: Person) -> None:
    check_in(store, ARRIVAL, kim("first"))
    decided(store, "first", kim)
    seen = propose(store, "first", (("wish.travel", "130 mm"),))
    decided(store, "first", lou)
    with pytest.raises(Conflict, match="Lou: decided"):
        actions.decide(store, seen, kim())
    assert open_job(store, "first").view.state.fact("wish.travel") == "140 mm"
