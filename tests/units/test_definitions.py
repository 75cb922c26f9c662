"""Unit definitions against NIST SP 811 as printed, and against pint and scipy.constants as general references.

The rows are the project's list of outside checks, section 1: its SP 811 figures are from memory there, each then
computed with pint; the in, the lb and standard gravity are exact.
"""

from __future__ import annotations

import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from sagwright.units import parse, show, units_of
from tests.published import as_printed

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()

# quantity, text, SI as printed, the same in pint
PRINTED = [
    ("pressure", "1 psi", "6894.757", "psi"),
    ("force", "1 lbf", "4.448222", "lbf"),
    ("rate", "1 lbf/in", "175.1268", "lbf/inch"),
    ("torque", "1 lbf·in", "0.1129848", "lbf*inch"),
    ("torque", "1 lbf·ft", "1.355818", "lbf*foot"),
    ("torque", "1 kgf·cm", "0.0980665", "kgf*cm"),
    ("volume", "1 fl oz", "0.00002957353", "US_fluid_ounce"),
    ("volume", "1 in³", "0.000016387064", "inch**3"),
    ("mass", "1 lb", "0.45359237", "pound"),
    ("length", "1 in", "0.0254", "inch"),
    ("pressure", "1 bar", "100000", "bar"),
]

TABLES = [
    # psi → bar
    ("pressure", "psi", "bar", 1e5, [(50, "3.4474"), (80, "5.5158"), (100, "6.8948"), (150, "10.3421")]),
    ("pressure", "psi", "bar", 1e5, [(200, "13.7895"), (300, "20.6843")]),
    # lbf/in → N/mm
    ("rate", "lbf/in", "N/mm", 1e3, [(300, "52.5381"), (350, "61.2944"), (400, "70.0507"), (450, "78.8071")]),
    ("rate", "lbf/in", "N/mm", 1e3, [(500, "87.5634"), (550, "96.3198"), (600, "105.0761")]),
    # lbf·in → N·m
    ("torque", "lbf·in", "N·m", 1.0, [(40, "4.5194"), (50, "5.6492"), (62, "7.0051"), (80, "9.0388")]),
    ("torque", "lbf·in", "N·m", 1.0, [(100, "11.2985"), (150, "16.9477")]),
]


@pytest.mark.parametrize(("quantity", "text", "printed", "name"), PRINTED)
def test_one_of_each__nist_sp_811_appendix_b(quantity: str, text: str, printed: str, name: str) -> None:
    assert parse(text, quantity) == as_printed(printed)


@pytest.mark.parametrize(("quantity", "text", "printed", "name"), PRINTED)
def test_one_of_each__pint(quantity: str, text: str, printed: str, name: str) -> None:
    assert parse(text, quantity) == pytest.approx(UREG.Quantity(1.0, name).to_base_units().magnitude, rel=1e-12)


def test_psi_inch_pound_and_pound_force__scipy_constants() -> None:
    assert parse("1 psi", "pressure") == pytest.approx(scipy.constants.psi, rel=1e-15)
    assert parse("1 in", "length") == scipy.constants.inch
    assert parse("1 lb", "mass") == pytest.approx(scipy.constants.lb, rel=1e-15)
    assert parse("1 lbf", "force") == pytest.approx(scipy.constants.lbf, rel=1e-15)
    assert parse("1 kgf", "force") == scipy.constants.g


@pytest.mark.parametrize(("quantity", "unit", "other", "scale", "rows"), TABLES)
def test_tables__outside_checks_section_1(
    quantity: str, unit: str, other: str, scale: float, rows: list[tuple[float, str]]
) -> None:
    for number, printed in rows:
        assert parse(f"{number} {unit}", quantity) / scale == as_printed(printed)
        assert show(parse(f"{number} {unit}", quantity), other, digits=4) == f"{printed} {other}"


def test_bar_to_psi__as_a_textbook_appendix_prints_it() -> None:
    assert 1e5 / parse("1 psi", "pressure") == as_printed("14.5038")


def test_68_fahrenheit_are_293_15_kelvin__by_definition() -> None:
    assert parse("68 °F", "temperature") == 293.15
    assert parse("20 °C", "temperature") == 293.15


@pytest.mark.law
@given(st.sampled_from(["length", "pressure", "volume", "mass", "force", "torque", "rate"]), st.data())
def test_what_is_shown_is_read_back(quantity: str, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(units_of(quantity)))
    number = data.draw(st.integers(1, 10**7)) / 1000
    text = show(parse(f"{number} {unit}", quantity), unit, digits=9)
    assert parse(text, quantity) == pytest.approx(parse(f"{number} {unit}", quantity), rel=1e-8)
