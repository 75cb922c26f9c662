"""Facts one by one: what may stand at a path, and what was typed as the format has it."""

from __future__ import annotations

import pytest

from sagwright.domain.value import Quantity
from sagwright.errors import OutOfRange, WrongUnit
from sagwright.formats.fields.kinds import Field
from sagwright.formats.intake.facts import as_typed, as_written, fact_field, quantity_of_fact, read_fact
from sagwright.phrases.intake_labels import LABELS, fact_order, group
from sagwright.units import UnitChoice

COMMA = UnitChoice(pressure="bar", decimal=",")


@pytest.mark.parametrize("path", [path for path in LABELS if path != "wish.aim"])
def test_every_path_with_a_name_is_one_of_the_format(path: str) -> None:
    assert isinstance(fact_field(path), Field)


@pytest.mark.parametrize("path", ["", "as_found", "as_found.nothing", "nothing.at.all", "rider", "legs.x", "unit..x"])
def test_another_path_is_refused(path: str) -> None:
    with pytest.raises(OutOfRange):
        fact_field(path)


@pytest.mark.parametrize(
    ("path", "typed", "written"),
    [
        ("as_found.charge.pressure", "78", "78 psi"),
        ("as_found.charge.pressure", "5.4 bar", "5.4 bar"),
        ("as_found.charge.pressure", "78 ± 2", "78 ± 2 psi"),
        ("as_found.volume_spacers", "2", "2"),
        ("as_found.preload_turns", "3.5", "3.5"),
        ("rider.height", "1780", "1780 mm"),
        ("bike.head_angle", "65", "65 °"),
        ("bike.front_radius", "372", "372 mm"),
        ("unit.serial", "04.17", "04.17"),
        ("rider.posture", "seated", "seated"),
    ],
)
def test_the_unit_beside_the_field_is_the_one_meant(path: str, typed: str, written: str) -> None:
    assert as_written(path, typed, UnitChoice()) == written
    assert read_fact(path, written) is not None


def test_a_comma_where_commas_are_shown() -> None:
    assert as_written("as_found.charge.pressure", "5,4 ± 0,1", COMMA) == "5.4 ± 0.1 bar"
    assert as_typed("5.4 ± 0.1 bar", COMMA) == "5,4 ± 0,1 bar"
    with pytest.raises(WrongUnit, match="Write 5,4"):
        as_written("as_found.charge.pressure", "5.4", COMMA)


def test_quantities() -> None:
    assert quantity_of_fact("load") is Quantity.FORCE
    assert quantity_of_fact("bike.head_angle") is Quantity.ANGLE
    assert quantity_of_fact("unit.serial") is None
    assert quantity_of_fact("wish.aim.sag") is None


def test_facts_stand_under_their_heading_in_the_order_they_are_asked() -> None:
    paths = sorted(LABELS, key=fact_order)
    headings = [group(path) for path in paths]
    assert [one for number, one in enumerate(headings) if number == 0 or headings[number - 1] != one] == [
        "unit",
        "as found",
        "rider and load",
        "technician, as a known mass for the final check",
        "bike",
        "wish",
        "workshop",
    ]
