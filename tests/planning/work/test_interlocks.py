"""The table of interlocks beside the judge's rules."""

from __future__ import annotations

import pytest

from sagwright.domain.item import Act
from sagwright.formats.sheet.load import load_sheet
from sagwright.judge import RULES
from sagwright.judge.run import STEP_RULES
from sagwright.planning.work.interlocks import INTERLOCKS, rules_of

ROWS = tuple(row for rows in INTERLOCKS.values() for row in rows)
SHEETS = tuple(f"specimen/{name}" for name in ("a55", "b38", "c38", "n32", "p34", "s38", "t35", "v34"))

IN_THE_STEP = {"renewed", "torque-state", "hold-point", "fluid", "cured", "settled", "preload-set", "signed", "tagged"}
"""Kept by what a step carries: its new parts, torque, fluid, readings, settings."""

OF_THE_WHOLE = {"complete", "target", "final-charge", "final-readings", "ended"}
"""Kept by which steps there are."""

ELSEWHERE = {"gas-chamber", "rechecked"}
"""A scope refuses the first; what is proven again after a break is planned where work goes on."""


def by_how() -> set[str]:
    """What the items of the shipped sheets keep by how a step is done."""
    items = [item for name in SHEETS for item in load_sheet(name).items]
    return {rule for item in items for act in Act for rule in rules_of(item, act)}


def test_the_judge_has_a_rule_of_every_name_in_the_table() -> None:
    assert {row.name for row in ROWS} | {row.of_reading for row in ROWS if row.of_reading} <= set(RULES)


def test_every_rule_of_the_judge_is_answered_in_one_way() -> None:
    ways = [{row.name for row in ROWS}, by_how(), IN_THE_STEP, OF_THE_WHOLE, ELSEWHERE]
    assert set().union(*ways) == set(RULES)
    assert sum(map(len, ways)) == len(RULES)


@pytest.mark.parametrize("act", INTERLOCKS)
def test_a_row_looks_at_what_its_rule_looks_at(act: Act) -> None:
    for row in INTERLOCKS[act]:
        rule = STEP_RULES[row.name]
        assert not rule.roles or not row.roles or rule.roles.issuperset(row.roles) or act not in rule.acts
