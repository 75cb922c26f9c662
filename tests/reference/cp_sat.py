"""Least cost of an order by OR-Tools' CP-SAT, in the tool-slot formulation.

A slot is a stretch of work with one tool and one position. Every step goes to a slot that suits it, and to no earlier
slot than anything it waits for; within a slot any valid order will do. What is paid stands between slots.
"""

from __future__ import annotations

import random
from functools import cache

from ortools.sat.python import cp_model

from tests.reference.brute_force import cost
from tests.reference.units import Work

Row = list[cp_model.IntVar]


def proven_cost(work: Work, *, seconds: float, workers: int = 8) -> int | None:
    """Least cost [s], or None where it is not proven in that time."""
    model = cp_model.CpModel()
    slots = _slots(work)
    tools = _held(model, slots, work.tools)
    positions = _held(model, slots, work.positions)
    place = _placed(model, work, slots)
    for step, row in enumerate(place):
        for held, need in ((tools, work.tools[step]), (positions, work.positions[step])):
            if need:
                for slot in range(slots):
                    model.add_implication(row[slot], held[need][slot])
    paid = [work.tool_price * v for v in _taken_up(model, slots, tools, _runs(work, work.tools))]
    paid += [work.position_price * v for v in _taken_up(model, slots, positions, _runs(work, work.positions))]
    model.minimize(sum(paid))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return sum(work.seconds) + round(solver.objective_value)


def _slots(work: Work, tries: int = 300) -> int:
    """Enough slots: no more changes than the best of some drawn orders could pay for at the smaller price."""
    draw = random.Random(1)
    paid = min(cost(work, _drawn(work, draw)) for _ in range(tries)) - sum(work.seconds)
    turned = len({name for name in work.positions if name})
    taken = len({name for name in work.tools if name})
    spare = paid - turned * work.position_price - taken * work.tool_price
    return max(1, min(len(work), turned + taken + spare // min(work.tool_price, work.position_price)))


def _drawn(work: Work, draw: random.Random) -> tuple[int, ...]:
    """A valid order that changes nothing as long as it can, and then something drawn."""
    order: list[int] = []
    done: set[int] = set()
    tool, position = "", ""
    while len(order) < len(work):
        able = [s for s in range(len(work)) if s not in done and work.before[s] <= done]
        draw.shuffle(able)
        step = min(
            able, key=lambda s: (work.positions[s] not in {"", position}) * 2 + (work.tools[s] not in {"", tool})
        )
        order.append(step)
        done.add(step)
        tool, position = work.tools[step] or tool, work.positions[step] or position
    return tuple(order)


def _held(model: cp_model.CpModel, slots: int, names: tuple[str, ...]) -> dict[str, Row]:
    kinds = sorted({name for name in names if name})
    held = {kind: [model.new_bool_var("") for _ in range(slots)] for kind in kinds}
    for slot in range(slots if kinds else 0):
        model.add_exactly_one(held[kind][slot] for kind in kinds)
    return held


def _taken_up(model: cp_model.CpModel, slots: int, held: dict[str, Row], fewest: dict[str, int]) -> Row:
    """One variable per kind and slot that is 1 where the kind is taken up there."""
    taken: Row = []
    for kind, row in held.items():
        own = [model.new_bool_var("") for _ in range(slots)]
        model.add(own[0] == row[0])
        for slot in range(1, slots):
            model.add(own[slot] >= row[slot] - row[slot - 1])
        model.add(sum(own) >= fewest[kind])
        taken += own
    return taken


def _runs(work: Work, names: tuple[str, ...]) -> dict[str, int]:
    """The most separate stretches of each kind along one path of predecessors: implied, but not seen by the solver."""
    return {kind: _most_stretches(work, names, kind) for kind in {name for name in names if name}}


def _most_stretches(work: Work, names: tuple[str, ...], kind: str) -> int:
    @cache
    def along(step: int, following: str) -> int:
        """Stretches on the way up to a step, not counting one that `following` goes on with."""
        here = names[step] or following
        starts = here == kind != following
        return starts + max((along(other, here) for other in work.before[step]), default=0)

    return max(along(step, "") for step in range(len(work)))


def _placed(model: cp_model.CpModel, work: Work, slots: int) -> list[Row]:
    """Which slot each step goes to, by way of "in this slot or before"."""
    reached = [[model.new_bool_var("") for _ in range(slots)] for _ in range(len(work))]
    for step, row in enumerate(reached):
        model.add(row[-1] == 1)
        for slot in range(1, slots):
            model.add_implication(row[slot - 1], row[slot])
        for other in work.before[step]:
            for slot in range(slots):
                model.add_implication(row[slot], reached[other][slot])
    place = []
    for row in reached:
        here = [model.new_bool_var("") for _ in range(slots)]
        model.add(here[0] == row[0])
        for slot in range(1, slots):
            model.add(here[slot] == row[slot] - row[slot - 1])
        place.append(here)
    return place
