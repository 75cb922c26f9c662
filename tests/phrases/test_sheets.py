"""Every value that a sheet writes is shown with its number, its tolerance and where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Origin, Quantity, Span, Value
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet
from sagwright.phrases.sheets import LATER, SECTIONS, quantity_of_value, written_sections
from sagwright.units import UnitChoice

NUMBERS = (*SECTIONS, *LATER)


def values_in(thing: object) -> Iterator[Value | Span]:
    """Every value in a thing, however deep."""
    if isinstance(thing, Value | Span):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from values_in(one)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from values_in(getattr(thing, field.name))


@pytest.mark.parametrize("name", shipped_sheets())
def test_no_value_is_left_out(name: str) -> None:
    sheet: Sheet = load_sheet(name, files=False)
    shown = [row for section in written_sections(sheet, UnitChoice()) for row in section.rows]
    there = [value for part in NUMBERS for value in values_in(getattr(sheet, part))]
    with_origin = [row.origin for row in shown if row.origin]
    assert sorted(with_origin) == sorted(value.origin.value for value in there)
    with_uncertainty = [value for value in there if isinstance(value, Value) and value.u]
    assert sum(row.tolerance.startswith("tol. ± ") for row in shown) == len(with_uncertainty)
    assert not [
        row.tolerance for row in shown if row.tolerance and not any(digit in row.tolerance for digit in "123456789")
    ]


@pytest.mark.parametrize(
    ("written", "quantity"),
    [
        ("31.8 ± 0.03 mm, measured", Quantity.LENGTH),
        ("40..130 psi", Quantity.PRESSURE),
        ("12 ± 1 ml", Quantity.VOLUME),
        ("0.02 ± 0.01", Quantity.RATIO),
        ("45 h", Quantity.TIME),
        ("20 N/mm ± 10 %", Quantity.RATE),
        ("40 ± 4 %", Quantity.FRACTION),
        ("", Quantity.RATIO),
    ],
)
def test_a_unit_says_the_quantity(written: str, quantity: Quantity) -> None:
    assert quantity_of_value(written) is quantity


def test_times_read_in_hours_and_origins_are_kept() -> None:
    sections = {one.name: one for one in written_sections(load_sheet("specimen/t35", files=False), UnitChoice())}
    assert {row.value for row in sections["service"].rows} == {"45 h", "90 h", "180 h"}
    assert sections["bushings"].rows[0].origin == Origin.TYPICAL.value
