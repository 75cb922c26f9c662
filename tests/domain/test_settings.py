"""The table of settings: it knows everything that a build, a wish and the tasks can set."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from sagwright.domain.intake import Wish
from sagwright.domain.settings import PRESSURES, QUANTITIES, SETTINGS, TASK_SETTINGS
from sagwright.domain.setup import CoilFitting, Setup, ShaftSetting, StackSetting, TopOutSetting, coil_setup
from sagwright.domain.task import TaskKind
from sagwright.domain.value import Quantity, Unknown

SETUPS = (
    Setup("mid", StackSetting(2, 1), 3, Unknown.NOT_MEASURED),
    Setup("mid", ShaftSetting(0.15), Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED),
    coil_setup("standard", TopOutSetting(1), CoilFitting("medium", 2, 0.004)),
)


def test_everything_that_builds_hold_is_a_row() -> None:
    held = {field.name for kind in (StackSetting, ShaftSetting, TopOutSetting, CoilFitting) for field in fields(kind)}
    assert held | {"volume_spacers", "legs", "charge"} == {row.key for row in SETTINGS}


@pytest.mark.parametrize("setup", SETUPS)
def test_a_build_has_the_rows_of_its_mechanism_and_spring(setup: Setup) -> None:
    parts = [setup.setting] if setup.fitting is None else [setup.setting, setup.fitting]
    own = {field.name for part in parts for field in fields(part)}
    air = {"volume_spacers", "charge"} if setup.fitting is None else set()
    assert {row.key for row in SETTINGS if row.has(setup)} == own | air | {"legs"}


def test_a_row_puts_its_own_setting_and_nothing_else() -> None:
    stack, _, coil = SETUPS
    rows = {row.key: row for row in SETTINGS}
    assert rows["travel_spacers"].put(stack, 4) == replace(stack, setting=StackSetting(4, 1))
    assert rows["volume_spacers"].put(stack, 0) == replace(stack, volume_spacers=0)
    assert rows["coil"].put(coil, "firm") == replace(coil, fitting=CoilFitting("firm", 2, 0.004))
    assert rows["port_position"].of(stack) == 1
    assert rows["adjuster"].of(coil) == 0.004


def test_what_tasks_pin_is_in_a_wish() -> None:
    assert {row.wish for row in TASK_SETTINGS.values()} <= {field.name for field in fields(Wish)}
    assert QUANTITIES[TaskKind.SET_PRELOAD] is Quantity.RATIO
    assert TaskKind.CHANGE_COIL not in QUANTITIES


def test_a_setting_belongs_to_the_spring_that_has_it() -> None:
    assert {row.spring for row in PRESSURES} == {"air"}
    assert {row.key for row in SETTINGS if row.spring == "coil"} == {
        *("top_out_spacers", "coil", "preload_spacers", "adjuster")
    }
    assert TASK_SETTINGS[TaskKind.CHANGE_TRAVEL].spring == ""
