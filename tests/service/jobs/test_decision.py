"""Where this program computes something else than was decided, it is said; what was decided holds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.records.job import Difference
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import decided_payload, decision_of, difference_of, propose
from sagwright.service.jobs.intake import Arrival
from sagwright.store.documents import add_document
from sagwright.store.workshop import Store
from sagwright.version import PROGRAM
from tests.support.workshops import ARRIVAL, Person, by_the_log, decided, decided_otherwise, done_well, on_the_bench

TASKS = replace(ARRIVAL, facts=(("unit.chassis", "mid"),), tasks=("lower-legs", "set-pressure=80psi"))


@pytest.mark.parametrize("arrival", [ARRIVAL, TASKS], ids=["a plan", "tasks"])
def test_what_the_same_program_decided_does_not_differ(store: Store, kim: Person, arrival: Arrival) -> None:
    view = actions.check_in(store, arrival, kim())
    assert difference_of(store, view.state) is None
    assert difference_of(store, decided(store, view.card.id, kim).state) is None


def test_what_another_program_decided_differs_in_what_it_computed(store: Store, kim: Person) -> None:
    job = actions.check_in(store, ARRIVAL, kim()).card.id
    view = decided_otherwise(store, job, kim)
    stored = decision_of(store, job).work.text
    assert difference_of(store, view.state) == Difference("sagwright 0.0.1", PROGRAM, ("target", "steps"))
    assert decision_of(store, job).work.text == stored


def test_what_cannot_be_computed_any_more_is_said(store: Store, kim: Person) -> None:
    job = actions.check_in(store, ARRIVAL, kim()).card.id
    with store.writing() as transaction:
        made = decided_payload(transaction, propose(store, job))
        unreadable = replace(made, intake=add_document(transaction, "intake/1", "format: intake/1\nwished: a lot\n"))
    view = by_the_log(store, job, unreadable, kim())
    assert difference_of(store, view.state) == Difference(PROGRAM, PROGRAM, ())


def test_steps_that_were_done_and_found_since_are_no_difference(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    for _ in range(3):
        view = actions.record(store, view.card.id, kim(), what=done_well(bench_state(store, view.card.id).steps[0]))
    assert difference_of(store, view.state) is None
