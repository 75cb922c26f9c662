from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.item import Act, Hand, Item, Record, Role, ThreadState, Torque
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity, Value
from sagwright.phrases.steps import record_text, step_text, title, torque_text, total_time, waiting_time
from sagwright.units import UnitChoice, choose_units
from tests.support.handmade_plan import PSI, SHEET, STEPS, measured

PLAIN = UnitChoice()
BY_KEY = {step.key: step for step in STEPS}


def lines(key: str, choice: UnitChoice = PLAIN) -> list[tuple[str, str]]:
    return [(line.label, line.text) for line in step_text(BY_KEY[key], SHEET, choice).lines]


def test_a_step_says_what_to_do_set_look_at_and_record() -> None:
    assert lines("change:travel_spacers") == [
        ("do", "Count the spacers on the shaft. Bring them to the number shown."),
        ("set", "travel spacers 1 → 3"),
        ("look", "piston seal: no cut, no flat; if not, renew it"),
        ("look", "bushing: play under (0.25 mm); if not, do not ride; record it with a photo"),
        ("record", "travel spacers found: ______ (limits: 1)"),
    ]


def test_a_step_says_tools_new_parts_torque_fluid_and_waiting() -> None:
    assert lines("on:foot_nut")[1:] == [
        ("tools", "socket 10 mm, torque wrench 2 to 20 N·m"),
        ("new", "crush washer 8 mm"),
        ("torque", "find the value in the maker's manual; thread dry; left-hand: anticlockwise tightens"),
        ("fluid", "assembly grease, a little"),
        ("wait", "20 min before loading it"),
    ]


def test_a_charge_says_its_pressure_in_the_unit_asked_for() -> None:
    assert ("pressure", "7.24 bar") in lines("charge:final:air_charge", choose_units("bar"))


def test_hold_points_and_cautions_are_kept() -> None:
    text = step_text(BY_KEY["off:air_charge"], SHEET, PLAIN)
    assert text.hold_point
    assert text.cautions == BY_KEY["off:air_charge"].cautions
    assert text.title == "Release the air and confirm that the unit is empty"
    assert text.minutes == "4 min"


def test_a_reading_starts_empty_and_says_what_passes() -> None:
    limited = Record("left", "pressure left", Quantity.PRESSURE, 103 * PSI, 107 * PSI)
    assert record_text(limited, PLAIN) == "pressure left: ______ psi (limits: 103 to 107 psi)"
    assert record_text(Record("silent", "silent"), PLAIN) == "silent: ______"


def test_a_torque_never_stands_without_its_thread_state() -> None:
    known = Torque(Value(2.8), ThreadState.GREASED)
    assert torque_text(known, choose_units("lbf-in")) == "25 lbf·in, typical; thread greased"
    assert torque_text(Torque(None, ThreadState.COMPOUND, Hand.RIGHT), PLAIN) == (
        "find the value in the maker's manual; thread with threadlocker"
    )


OF_THE_WORK = {
    Act.BREAK: "Make the unit safe for a break",
    Act.VERDICT: "Stop work and record the verdict",
    Act.CYCLE: "Cycle through the transfer port",
}
OF_THE_UNIT = {
    (Act.OFF, Role.READINGS): "Read and record the unit as found",
    (Act.ON, Role.READINGS): "Take the final readings",
    (Act.OFF, Role.AIR_CHARGE): "Release the air and confirm that the unit is empty",
}
"""Titles that name no item."""


@pytest.mark.parametrize("role", [None, *Role])
@pytest.mark.parametrize("act", [act for act in Act if act not in {Act.CHARGE, Act.BREAK, Act.VERDICT}])
def test_every_act_on_every_kind_of_item_has_a_title(act: Act, role: Role | None) -> None:
    sheet = replace(SHEET, items=(Item("thing", "odd thing", role=role),))
    step = Step("key", act, "thing", "odd thing", "Do it.", "upright", measured(60.0))
    named = OF_THE_UNIT.get((act, role), "odd thing") if role else "odd thing"
    assert OF_THE_WORK.get(act, named) in title(step, sheet)


def test_times_add_up_and_their_spread_as_the_root_of_squares() -> None:
    timed = [replace(STEPS[0], minutes=measured(300.0, u)) for u in (60.0, 60.0, 60.0, 60.0)]
    assert total_time(timed, PLAIN) == "20 min ± 2 (standard uncertainty)"


def test_a_step_without_a_spread_is_said() -> None:
    assert total_time(STEPS, PLAIN).endswith("(standard uncertainty; 1 step without a spread)")


def test_waiting_is_apart() -> None:
    assert waiting_time(STEPS, PLAIN) == "20 min"
    assert not waiting_time(STEPS[:2], PLAIN)
