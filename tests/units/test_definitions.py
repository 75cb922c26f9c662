"""Unit definitions: the project's list of outside checks, section 1, row by row.

Each row says where its figures come from. "Value from memory" was not seen in print by the one who wrote it down;
"computed" comes from pint 0.25.3 and scipy.constants, which the tests below ask again. The inch, the pound, standard
gravity and the standard atmosphere are exact by definition.

The list's rows for viscosity (cSt, cP) have nothing to be held against: no quantity here is a viscosity.
"""

from __future__ import annotations

from typing import NamedTuple

import pint
import pytest
import scipy.constants

from sagwright.domain.value import Quantity
from sagwright.errors import WrongUnit
from sagwright.units import amount_in, choose_units, parse, show_value, units_of
from tests.support.published import as_printed

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()


class Row(NamedTuple):
    """So much of one unit is so much of another, within a relative tolerance."""

    text: str
    quantity: str
    unit: str
    value: float
    rel: float


class Print(NamedTuple):
    """A conversion factor to SI as a source prints it."""

    text: str
    quantity: str
    printed: str


ROWS = [
    Row("1 psi", "pressure", "Pa", 6894.757293168, 1e-9),  # computed
    Row("1 psi", "pressure", "bar", 0.06894757293, 1e-9),  # computed
    Row("1 bar", "pressure", "psi", 14.50377377, 1e-9),  # computed
    Row("1 lbf", "force", "N", 4.4482216152605, 1e-12),  # exact, computed
    Row("1 lbf/in", "rate", "N/mm", 0.1751268352, 1e-9),  # computed
    Row("1 lbf·in", "torque", "N·m", 0.1129848290, 1e-9),  # computed
    Row("1 lbf·ft", "torque", "N·m", 1.355817948, 1e-9),  # computed
    Row("1 kgf·cm", "torque", "N·m", 0.0980665, 1e-12),  # exact by definition, computed
    Row("1 fl oz", "volume", "ml", 29.57352956, 1e-9),  # computed
    Row("1 in³", "volume", "cm³", 16.387064, 1e-12),  # exact, NIST SP 811; computed
    Row("1 in", "length", "mm", 25.4, 1e-15),  # exact by definition
    Row("1 lb", "mass", "kg", 0.45359237, 1e-15),  # exact by definition
    Row("1 kgf", "force", "N", 9.80665, 1e-15),  # exact by definition: standard gravity
    Row("68 °F", "temperature", "K", 293.15, 1e-12),  # by definition, computed
]

PRINTS = [
    Print("1 psi", "pressure", "6.894757e3"),  # NIST SP 811 (2008) appendix B.8, value from memory
    Print("1 lbf", "force", "4.448222"),  # NIST SP 811 (2008) appendix B.8, value from memory
    Print("1 lbf/in", "rate", "1.751268e2"),  # NIST SP 811 (2008) appendix B.8, value from memory
    Print("1 lbf·in", "torque", "1.129848e-1"),  # NIST SP 811 (2008) appendix B.8, value from memory
    Print("1 lbf·ft", "torque", "1.355818"),  # NIST SP 811 (2008) appendix B.8, value from memory
    Print("1 fl oz", "volume", "2.957353e-5"),  # NIST SP 811 (2008) appendix B.8, value from memory
]

TABLES = [  # computed
    ("psi", "bar", "pressure", 1e-5, {50: "3.4474", 80: "5.5158", 100: "6.8948"}),
    ("psi", "bar", "pressure", 1e-5, {150: "10.3421", 200: "13.7895", 300: "20.6843"}),
    ("lbf/in", "N/mm", "rate", 1e-5, {300: "52.5381", 350: "61.2944", 400: "70.0507", 450: "78.8071"}),
    ("lbf/in", "N/mm", "rate", 1e-5, {500: "87.5634", 550: "96.3198", 600: "105.0761"}),
    ("lbf·in", "N·m", "torque", 1e-4, {40: "4.5194", 50: "5.6492", 62: "7.0051", 80: "9.0388"}),
    ("lbf·in", "N·m", "torque", 1e-4, {100: "11.2985", 150: "16.9477"}),
]

PINT = {
    "mm": "mm", "cm": "cm", "m": "m", "in": "inch",
    "ml": "ml", "cm³": "cm**3", "l": "liter", "in³": "inch**3", "fl oz": "US_fluid_ounce",
    "psi": "psi", "bar": "bar", "kPa": "kPa", "MPa": "MPa", "hPa": "hPa", "mbar": "mbar", "Pa": "Pa",
    "kg": "kg", "g": "g", "lb": "pound",
    "N": "N", "kgf": "kgf", "lbf": "lbf",
    "N/mm": "N/mm", "N/m": "N/m", "lbf/in": "lbf/inch",
    "N·m": "N*m", "lbf·in": "lbf*inch", "lbf·ft": "lbf*foot", "kgf·cm": "kgf*cm",
    "°C": "degC", "°F": "degF", "K": "kelvin",
    "s": "s", "min": "minute", "h": "hour", "days": "day", "weeks": "week",
    "°": "degree", "rad": "radian", "%": "percent", "J": "J",
}  # fmt: skip

NAMED = [(name, quantity.value) for quantity in Quantity for name in units_of(quantity) if name]

SCIPY = [
    ("psi", "pressure", scipy.constants.psi),
    ("bar", "pressure", scipy.constants.bar),
    ("in", "length", scipy.constants.inch),
    ("in³", "volume", scipy.constants.inch**3),
    ("fl oz", "volume", scipy.constants.fluid_ounce_US),
    ("l", "volume", scipy.constants.liter),
    ("lb", "mass", scipy.constants.lb),
    ("g", "mass", scipy.constants.gram),
    ("lbf", "force", scipy.constants.lbf),
    ("kgf", "force", scipy.constants.kgf),
    ("lbf/in", "rate", scipy.constants.lbf / scipy.constants.inch),
    ("lbf·in", "torque", scipy.constants.lbf * scipy.constants.inch),
    ("lbf·ft", "torque", scipy.constants.lbf * scipy.constants.foot),
    ("kgf·cm", "torque", scipy.constants.kgf * scipy.constants.centi),
    ("min", "time", scipy.constants.minute),
    ("h", "time", scipy.constants.hour),
    ("days", "time", scipy.constants.day),
    ("weeks", "time", scipy.constants.week),
    ("°", "angle", scipy.constants.degree),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.text} in {row.unit}")
def test_one_of_each(row: Row) -> None:
    shown_in = choose_units(row.unit)
    assert amount_in(shown_in, parse(row.text, row.quantity), row.quantity) == pytest.approx(row.value, rel=row.rel)


@pytest.mark.parametrize("row", PRINTS, ids=lambda row: row.text)
def test_one_of_each_as_nist_sp_811_prints_it(row: Print) -> None:
    assert parse(row.text, row.quantity) == as_printed(row.printed)


def test_a_bar_in_psi_as_a_textbook_appendix_prints_it() -> None:
    assert show_value(parse("1 bar", "pressure"), "psi", digits=4) == "14.5038 psi"  # read in a copy of the appendix


def test_the_standard_atmosphere_is_exact() -> None:
    # NIST SP 811; computed. There is no unit "atm" to read: it is written in hPa.
    assert parse("1013.25 hPa", "pressure") == 101_325.0 == scipy.constants.atm


@pytest.mark.parametrize("unit", ["cSt", "cP", "atm"])
def test_what_is_on_the_list_and_not_read_is_refused(unit: str) -> None:
    with pytest.raises(WrongUnit, match=f"'{unit}' is none"):
        choose_units(unit)


@pytest.mark.parametrize(("unit", "other", "quantity", "rel", "rows"), TABLES)
def test_tables(unit: str, other: str, quantity: str, rel: float, rows: dict[int, str]) -> None:
    for number, value in rows.items():
        si = parse(f"{number} {unit}", quantity)
        assert amount_in(choose_units(other), si, quantity) == pytest.approx(float(value), rel=rel)
        assert show_value(si, other, digits=4) == f"{value} {other}"


@pytest.mark.parametrize(("unit", "other", "quantity", "rel", "rows"), TABLES)
def test_tables__pint(unit: str, other: str, quantity: str, rel: float, rows: dict[int, str]) -> None:
    for number in rows:
        theirs = UREG.Quantity(float(number), PINT[unit]).to(PINT[other]).magnitude
        ours = amount_in(choose_units(other), parse(f"{number} {unit}", quantity), quantity)
        assert ours == pytest.approx(theirs, rel=1e-13)


def test_every_quantity_has_units_and_every_unit_a_name_in_pint() -> None:
    assert all(units_of(quantity) for quantity in Quantity)
    assert {name for name, _ in NAMED} == set(PINT)


@pytest.mark.parametrize(("name", "quantity"), NAMED)
@pytest.mark.parametrize("number", [0.07, 1.0, 68.0, 1234.5])
def test_every_unit__pint(name: str, quantity: str, number: float) -> None:
    theirs = UREG.Quantity(number, PINT[name]).to_base_units().magnitude
    assert parse(f"{number} {name}", quantity) == pytest.approx(theirs, rel=1e-13)


@pytest.mark.parametrize(("name", "quantity", "si"), SCIPY)
def test_units__scipy_constants(name: str, quantity: str, si: float) -> None:
    assert parse(f"1 {name}", quantity) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 68, 140])
def test_fahrenheit__scipy_constants(fahrenheit: int) -> None:
    kelvin = scipy.constants.convert_temperature(fahrenheit, "Fahrenheit", "Kelvin")
    assert parse(f"{fahrenheit} °F", "temperature") == pytest.approx(float(kelvin), rel=1e-15)


def test_minus_forty_is_the_same_in_both_scales() -> None:
    assert parse("-40 °F", "temperature") == parse("-40 °C", "temperature")
