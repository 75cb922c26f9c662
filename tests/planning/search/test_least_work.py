"""What an order of least work is like."""

from __future__ import annotations

import pytest

from sagwright.errors import NoSolution
from sagwright.planning.search.least_work import least_work
from sagwright.planning.search.problem import Action, Prices, SearchLimit, StartState
from tests.reference.brute_force import cost, idle
from tests.reference.units import chains, mirrored
from tests.support.search import searched

WIDE = chains(2, size=60, width=8, tools=8, positions=4)


def test_nothing_to_do_costs_nothing() -> None:
    found = least_work(())
    assert (found.order, found.cost, found.optimal) == ((), 0.0, True)


def test_steps_with_one_tool_are_done_together() -> None:
    found = least_work([Action("a", 60, "x"), Action("b", 60, "y"), Action("c", 60, "x")])
    assert found.order == ("a", "c", "b")
    assert (found.tool_changes, found.cost) == (2, 180 + 2 * 30)


def test_a_step_without_a_tool_leaves_the_tool_at_hand() -> None:
    found = least_work([Action("a", 60, "x"), Action("b", 60, after=("a",)), Action("c", 60, "x", after=("b",))])
    assert found.tool_changes == 1


def test_what_is_held_at_the_start_is_not_taken_up() -> None:
    found = least_work([Action("a", 60, "x", "p")], held=StartState("x", "p"))
    assert (found.tool_changes, found.position_changes) == (0, 0)


def test_prices_decide_which_changes_are_made() -> None:
    work = [
        Action("a", 60, "x", "p"),
        Action("b", 60, "y", "q"),
        Action("c", 60, "x", "q"),
        Action("d", 60, "y", "p"),
    ]
    dear_tool = least_work(work, prices=Prices(tool=90, position=10))
    dear_turn = least_work(work, prices=Prices(tool=10, position=90))
    assert (dear_tool.tool_changes, dear_turn.position_changes) == (2, 2)


def test_a_wait_is_filled_with_what_does_not_depend_on_it() -> None:
    work = [Action("fill", 120), Action("glue", 60, waiting=120), Action("load", 60, after=("glue",))]
    found = least_work(work)
    assert found.order == ("glue", "fill", "load")
    assert found.idle == 0


def test_an_earlier_order_is_kept_where_nothing_else_decides() -> None:
    work = [Action(key, 60) for key in "abcd"]
    assert least_work(work, earlier=("d", "b", "gone")).order == ("d", "b", "a", "c")


def test_an_order_of_least_work_is_its_own_nearest() -> None:
    work = mirrored(3, items=10)
    once = searched(work)
    again = searched(work, earlier=tuple(int(key) for key in once.order))
    assert again.order == once.order


def test_a_circle_is_named() -> None:
    with pytest.raises(NoSolution, match=r"circle: .*a.*b"):
        least_work([Action("a", 60, after=("b",)), Action("b", 60, after=("a",))])


def test_waiting_for_what_is_not_there_is_named() -> None:
    with pytest.raises(NoSolution, match="a waits for gone"):
        least_work([Action("a", 60, after=("gone",))])


@pytest.mark.parametrize("states", [0, 1, 100, 5000])
def test_a_search_cut_short_gives_a_valid_order_with_its_bound(states: int) -> None:
    found = searched(WIDE, limit=SearchLimit(states=states))
    order = tuple(int(key) for key in found.order)
    assert not found.optimal
    assert all(set(WIDE.before[step]) <= set(order[:place]) for place, step in enumerate(order))
    assert sorted(order) == list(range(60))
    assert found.bound < found.cost == cost(WIDE, order)


@pytest.mark.slow
def test_the_bound_of_a_short_search_holds() -> None:
    cut = searched(WIDE, limit=SearchLimit(states=5000))
    whole = searched(WIDE)
    assert whole.optimal
    assert cut.bound <= whole.cost <= cut.cost


def test_a_search_stops_when_it_is_told_to() -> None:
    assert not searched(WIDE, limit=SearchLimit(stop=lambda: True)).optimal


@pytest.mark.parametrize("seed", range(6))
def test_waiting_cut_short_keeps_the_proven_cost(seed: int) -> None:
    work = mirrored(seed, items=14, waits=3)
    whole = searched(work)
    cut = searched(work, limit=SearchLimit(states=whole.states - 1))
    order = tuple(int(key) for key in cut.order)
    assert not cut.optimal
    assert cut.cost == whole.cost == cut.bound
    assert cut.idle_bound <= whole.idle <= cut.idle == idle(work, order)
