"""The work at the stand is computed once for each state of a job, however many ask and from however many threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from sagwright.domain.records.payloads import Noted
from sagwright.service.bench.state import Remembered, bench_state
from sagwright.service.jobs import actions
from sagwright.store.workshop import Store
from tests.support.workshops import Person, done_well, on_the_bench


def test_another_entry_under_the_same_id_is_another_state(store: Store, kim: Person) -> None:
    view = on_the_bench(store, kim)
    before = bench_state(store, view.card.id)
    step = before.steps[0]
    actions.record(store, view.card.id, kim(), what=Noted("it creaks"))
    assert bench_state(store, view.card.id).plan is not None
    actions.record(store, view.card.id, kim(), what=done_well(step))
    assert bench_state(store, view.card.id).steps == before.steps[1:]


def test_what_is_remembered_is_bounded_and_may_be_asked_for_by_many_at_once() -> None:
    remembered: Remembered[int, int] = Remembered(8)

    def ask(number: int) -> bool:
        key = number % 100
        value = remembered.get(key)
        return (remembered.put(key, key + 1) if value is None else value) == key + 1

    with ThreadPoolExecutor(8) as several:
        assert all(several.map(ask, range(20_000)))
    assert sum(remembered.get(key) is not None for key in range(100)) == 8
