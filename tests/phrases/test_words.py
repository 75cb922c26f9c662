"""Changes, tools and parts, settings, behaviours, options and errors in words."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from sagwright.domain.behaviour import Behaviour
from sagwright.domain.intake import Aim, AimKind
from sagwright.domain.setup import Change, Charge, LegState, ShaftSetting
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.step import Supply, SupplyKind
from sagwright.domain.value import Figure, Measured, Quantity, Unknown
from sagwright.errors import Defect, OutOfRange
from sagwright.phrases import spring
from sagwright.phrases.changes import change_text
from sagwright.phrases.errors import error_sentence
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS
from sagwright.phrases.tools_and_parts import SUPPLY_KINDS, supply_text
from sagwright.units import UnitChoice, choose_units
from tests.support.handmade_plan import (
    CHANGES,
    FOUND,
    INTAKE,
    OPTIONS,
    PSI,
    SHEET,
    TOOLS_AND_PARTS,
    UNKNOWN_INSIDE,
    measured,
)

PLAIN = UnitChoice()


def test_changes_say_what_before_and_after() -> None:
    assert [str(change_text(change, SHEET, PLAIN)) for change in CHANGES] == [
        "travel spacers 1 → 3",
        "port position 1 → 3",
        "volume spacers 1 → 2",
        "pressure 89 psi → 105 psi",
    ]


def test_a_change_from_something_unknown_says_so() -> None:
    unknown = Change("travel_spacers", Unknown.UNTIL_OPEN, 3)
    assert str(change_text(unknown, SHEET, PLAIN)) == "travel spacers unknown until open → 3"
    shaft = Change("shaft_travel", 0.130, 0.150)
    assert str(change_text(shaft, SHEET, choose_units("in"))) == "air shaft 5.12 in → 5.91 in"


def test_legs_say_their_oil_and_where_they_were_closed() -> None:
    found = (LegState("air", 5e-6, 0.030), LegState("damper", 10e-6))
    assert str(change_text(Change("legs", found, ()), SHEET, PLAIN)) == (
        "lower legs air 5 ml, closed 30 mm in; damper 10 ml → as the sheet says"
    )


def test_a_pressure_says_where_and_how_warm() -> None:
    pressed = Charge(measured(100 * PSI), compression=0.010, temperature=283.15)
    assert change_text(Change("charge", Unknown.NOT_MEASURED, pressed), SHEET, PLAIN).note == (
        "gauge, at 10 mm of compression, at 10 °C"
    )


def test_a_tools_and_parts_says_how_much_of_what() -> None:
    assert [supply_text(line, PLAIN) for line in TOOLS_AND_PARTS] == [
        "shock pump (special tool)",
        "socket 10 mm",
        "2 × travel spacer 10 mm",
        "1 × crush washer 8 mm",
        "lower-leg oil 60, 10 ml",
        "assembly grease, a little",
    ]
    assert set(SUPPLY_KINDS) == set(SupplyKind)


def test_two_of_a_tool_are_counted() -> None:
    assert supply_text(Supply(SupplyKind.TOOL, "tray", "", Figure(2, Quantity.COUNT)), PLAIN) == "2 × tray"


def test_a_setup_says_its_settings() -> None:
    assert spring.setup_text(FOUND, PLAIN) == "1 travel spacer, port position 1; 1 volume spacer; 89 psi"
    assert spring.setup_text(UNKNOWN_INSIDE, PLAIN) == (
        "travel spacers unknown until open, port position unknown until open; "
        "volume spacers unknown until open; pressure not measured"
    )
    shaft = replace(FOUND, setting=ShaftSetting(0.150), charge=Charge(measured(80 * PSI), cycled=False))
    assert spring.setup_text(shaft, PLAIN) == "air shaft for 150 mm; 1 volume spacer; 80 psi, not cycled"


@pytest.mark.parametrize(
    ("aim", "shown"),
    [
        (None, "aim left open"),
        (Aim(AimKind.AS_IT_RODE), "as it rode"),
        (Aim(AimKind.SAG, sag_fraction=0.2), "a sag of 20 % of travel"),
        (Aim(AimKind.SAG, sag=0.026), "a sag of 26 mm"),
        (Aim(AimKind.CAPACITY, capacity=140.0), "a capacity of 140 J"),
    ],
)
def test_an_aim(aim: Aim | None, shown: str) -> None:
    assert spring.aim_text(aim, PLAIN) == shown


def test_a_wish_says_what_is_pinned() -> None:
    pinned = replace(INTAKE.wish, aim=None, travel_spacers=3, pressure_gauge=measured(90 * PSI))
    assert spring.wish_line(pinned, PLAIN) == (
        "130 mm of travel; aim left open; 3 travel spacers; 2 volume spacers; 90 psi"
    )


def test_a_load_says_which_way_it_was_got() -> None:
    assert spring.load_text(Load(Measured(310.0, 25.0), LoadHow.SHARE), PLAIN) == (
        "310 N ± 25 (standard uncertainty), the mass times the front share"
    )
    assert spring.load_text(Load(Measured(310.0), LoadHow.GIVEN), PLAIN) == "310 N, as given"


def test_the_terms_are_the_behaviours() -> None:
    assert [term.field for term in BEHAVIOUR_TERMS] == [field.name for field in fields(Behaviour)]


def test_an_option_has_a_cell_under_every_heading() -> None:
    headings = spring.option_headings(SHEET, PLAIN)
    cells = spring.option_cells(OPTIONS[0], SHEET, PLAIN)
    assert dict(zip(headings, cells, strict=True)) == {
        "volume\nspacers": "2",
        "psi": "105",
        "sag\nmm": "30.3",
        "sag\n%": "20.2",
        "break-\naway\nN": "14",
        "mid": "2.66",
        "ramp-\nup": "2.69",
        "bottom\nout\nJ": "143",
        "mis-\nmatch": "2.1",
    }
    found = spring.as_found_cells(UNKNOWN_INSIDE, OPTIONS[0].behaviour, SHEET, PLAIN)
    assert found[:2] == ("?", "?")
    assert len(found) == len(headings)


def test_a_distance_that_depends_on_what_is_found_is_a_range() -> None:
    either = replace(OPTIONS[0], mismatch=2.14, mismatch_low=1.05)
    assert spring.distance_text(either, choose_units("", base=UnitChoice(decimal=","))) == "1,1–2,1"


def test_errors_keep_their_own_sentence_and_a_defect_says_whose_it_is() -> None:
    error = OutOfRange("must be above 0 kg", value="0 kg", remedy="Weigh the rider.", file="a.yaml", line=3)
    assert error_sentence(error) == "a.yaml:3: must be above 0 kg, got '0 kg'. Weigh the rider."
    assert error_sentence(Defect("no order")).startswith(
        "A defect in Sagwright, not in what you wrote: no order. Please report it"
    )
