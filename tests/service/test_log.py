"""Entries are added once, in order, and never changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from sagwright.domain.records.payloads import (
    CheckedIn,
    DueDateSet,
    IntakeUpdated,
    Noted,
    Prepared,
    StepDone,
    Withdrawn,
    WorkRefused,
)
from sagwright.domain.records.stages import Stage
from sagwright.errors import Conflict, NotNow, NotThere
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import NewCustomer
from sagwright.service.jobs.queries import board, open_job, search_jobs
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, Person, done_well, on_the_bench, worked_through


def test_a_double_tap_records_once(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    said = kim("tap")
    what = done_well(bench_state(store, view.card.id).steps[0])
    once = actions.record(store, view.card.id, said, what=what)
    later = replace(said, at=said.at.replace(hour=23))
    assert actions.record(store, view.card.id, later, what=what) == once


def test_a_double_tap_at_check_in_makes_one_job(store: Store, kim: Person) -> None:
    said = kim("tap")
    assert check_in(store, ARRIVAL, said) == check_in(store, ARRIVAL, said)
    assert len(board(store)) == 1
    assert [card.customer_name for card in search_jobs(store, "jo")] == ["Jo Example"]


def test_a_retry_that_comes_late_gives_the_job_as_it_is_by_now(store: Store, kim: Person) -> None:
    said = kim("tap")
    check_in(store, ARRIVAL, said)
    actions.record(store, "tap", kim(), what=Noted("meanwhile"))
    assert check_in(store, ARRIVAL, said).card.entries == 2


def test_another_content_under_the_same_id_is_refused(store: Store, kim: Person, lou: Person) -> None:
    said = kim("tap")
    check_in(store, ARRIVAL, said)
    other = check_in(store, ARRIVAL, kim("other"))
    with pytest.raises(Conflict, match="same id"):
        check_in(store, replace(ARRIVAL, symptoms="knocks"), said)
    with pytest.raises(Conflict, match="same id"):
        check_in(store, replace(ARRIVAL, customer=NewCustomer("Sam Example")), said)
    actions.record(store, "tap", kim("note"), what=Noted("one"))
    calls: list[Callable[[], object]] = [
        lambda: actions.record(store, "tap", kim("note"), what=Noted("two")),
        lambda: actions.record(store, "other", kim("note"), what=Noted("one")),
        lambda: actions.record(store, "tap", lou("note"), what=Noted("one")),
        lambda: actions.record(store, "tap", kim("tap"), what=Noted("one")),
    ]
    for call in calls:
        with pytest.raises(Conflict, match="same id"):
            call()
    assert open_job(store, "tap").view.card.entries == 2
    assert open_job(store, "other").view == other


def test_a_step_is_recorded_once_whoever_hands_it_in(store: Store, kim: Person, lou: Person) -> None:
    view = on_the_bench(store, kim)
    what = done_well(bench_state(store, view.card.id).steps[0])
    actions.record(store, view.card.id, kim(), what=what)
    with pytest.raises(NotNow, match=r"by Kim at 2026-03-02 08:\d\d:00"):
        actions.record(store, view.card.id, lou(), what=what)


def test_the_second_who_decides_is_told_and_nothing_is_overwritten(store: Store, kim: Person, lou: Person) -> None:
    seen = check_in(store, ARRIVAL, kim()).card
    actions.record(store, seen.id, kim(expected=seen.entries), what=DueDateSet("2026-03-09"))
    with pytest.raises(Conflict, match=r"Kim: due date, at 2026-03-02.*Nothing of yours was recorded"):
        actions.record(store, seen.id, lou(expected=seen.entries), what=DueDateSet("2026-03-20"))
    assert open_job(store, seen.id).view.card.due == "2026-03-09"
    with pytest.raises(Conflict, match="has 2 entries, not 9"):
        actions.record(store, seen.id, lou(expected=9), what=DueDateSet(None))


def test_a_correction_stands_beside_what_it_corrects(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    job, step = view.card.id, bench_state(store, view.card.id).steps[0]
    wrong = done_well(step)
    (number,) = [one for one in wrong.readings if one.key == "pressure_found"]
    others = tuple(one for one in wrong.readings if one != number)
    right = replace(wrong, readings=(*others, replace(number, as_typed="78 psi", value=78 * 6894.757293168)))
    actions.record(store, job, kim("wrong"), what=wrong)
    view = actions.record(store, job, kim("right", note="misread"), corrects="wrong", what=right)
    assert view.state.readings == right.readings
    line = next(line for line in view.state.lines if line.entry.id == "wrong")
    assert (line.entry.payload, line.payload) == (wrong, right)
    assert [(one.id, one.note) for one in line.corrections] == [("right", "misread")]
    again = actions.record(store, job, kim(), corrects="right", what=wrong)
    assert again.state.readings == wrong.readings


def test_a_withdrawn_entry_counts_no_more(store: Store, kim: Person) -> None:
    view = worked_through(store, on_the_bench(store, kim), kim)
    assert view.state.stage is Stage.FINAL_CHECK
    last = view.entries[-1]
    view = actions.record(store, view.card.id, kim(), corrects=last.id, what=Withdrawn("was not done"))
    assert (view.state.stage, len(view.state.steps_left)) == (Stage.BENCH, 1)
    assert view.entries[-2] == last
    with pytest.raises(NotNow, match="withdrawn already"):
        actions.record(store, view.card.id, kim(), corrects=last.id, what=Withdrawn("again"))
    assert isinstance(last.payload, StepDone)
    assert actions.record(store, view.card.id, kim(), what=last.payload).state.stage is Stage.FINAL_CHECK


def test_what_cannot_be_corrected(store: Store, kim: Person) -> None:
    first = check_in(store, ARRIVAL, kim("first"))
    other = check_in(store, ARRIVAL, kim("other"))
    begun = first.entries[0].payload
    assert isinstance(begun, CheckedIn)
    with pytest.raises(NotThere, match="not one of this job"):
        actions.record(store, "first", kim(), corrects="other", what=begun)
    with pytest.raises(NotNow, match="cannot be withdrawn"):
        actions.record(store, "first", kim(), corrects="first", what=Withdrawn("no"))
    with pytest.raises(NotNow, match='"checked in" cannot be corrected by one "intake updated"'):
        actions.record(store, "first", kim(), corrects="first", what=IntakeUpdated())
    with pytest.raises(NotNow, match="another visit or unit"):
        actions.record(store, "first", kim(), corrects="first", what=replace(begun, unit=other.card.unit))
    better = actions.record(store, "first", kim(), corrects="first", what=replace(begun, symptoms="knocks"))
    assert better.state.symptoms == "knocks"


def test_a_correction_can_be_made_after_hand_over(store: Store, kim: Person) -> None:
    job = check_in(store, ARRIVAL, kim()).card.id
    actions.record(store, job, kim("note"), what=Noted("colour: blue"))
    actions.record(store, job, kim(), what=WorkRefused("cracked"))
    view = actions.record(store, job, kim(), corrects="note", what=Noted("colour: black"))
    assert view.state.stage is Stage.REFUSED
    with pytest.raises(NotNow, match="refused"):
        actions.record(store, job, kim(), what=Prepared())
