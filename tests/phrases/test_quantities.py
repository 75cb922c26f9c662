from __future__ import annotations

import pytest

from sagwright.domain.value import Figure, Origin, Quantity, Value
from sagwright.phrases import quantities
from sagwright.units import UnitChoice, choose_units

PLAIN = UnitChoice()


def test_a_tolerance_says_so_and_a_standard_uncertainty_does_not() -> None:
    """JCGM 100:2008, 4.3.7: a tolerance of 0.03 mm is a standard uncertainty of 0.03/√3."""
    assert quantities.tolerance(0.5e-3 / 3.0**0.5, Quantity.LENGTH, PLAIN) == "tol. ± 0.5"
    assert quantities.as_written("31.8 ± 0.05 mm, measured") == "31.8 tol. ± 0.05 mm, measured"
    assert quantities.as_written("78 +/- 2 psi") == "78 tol. ± 2 psi"
    assert quantities.as_written("unknown until open") == "unknown until open"


def test_a_figure_carries_its_unit_once_and_its_uncertainty() -> None:
    assert quantities.figure(Figure(310.0, Quantity.FORCE, 25.0), PLAIN) == "310 N ± 25"
    assert quantities.figure(Figure(310.0, Quantity.FORCE), PLAIN) == "310 N"


def test_an_uncertain_temperature_is_not_shifted() -> None:
    assert quantities.figure(Figure(293.15, Quantity.TEMPERATURE, 1.0), PLAIN) == "20 °C ± 1"


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(90.0, "1.5 min"), (3600.0, "60 min"), (7200.0, "2 h"), (86400.0, "24 h"), (14 * 86400.0, "14 days")],
)
def test_a_time_is_said_in_the_unit_that_reads_best(seconds: float, shown: str) -> None:
    assert quantities.number_text(seconds, Quantity.TIME, PLAIN) == shown


def test_a_time_is_said_in_the_unit_asked_for() -> None:
    assert quantities.number_text(7200.0, Quantity.TIME, choose_units("s")) == "7200 s"


def test_numbers_of_a_column_keep_their_decimals() -> None:
    assert quantities.in_column(0.030, Quantity.LENGTH, PLAIN) == "30.0"
    assert quantities.in_column(2.5, Quantity.RATIO, PLAIN) == "2.50"
    assert quantities.in_column(0.030, Quantity.LENGTH, choose_units("in", base=UnitChoice(decimal=","))) == "1,18"


def test_a_written_number_is_not_rounded_into_another() -> None:
    assert quantities.exact(0.00025, Quantity.LENGTH, PLAIN) == "0.25 mm"
    assert quantities.exact(0.0318, Quantity.LENGTH, PLAIN) == "31.8 mm"
    assert quantities.exact(0.4, Quantity.TORQUE, choose_units("lbf·ft")) == "0.3 lbf·ft"
    assert quantities.exact(0.0, Quantity.PRESSURE, PLAIN) == "0 psi"


def test_a_typical_value_says_so() -> None:
    assert quantities.value(Value(24.0, None, Origin.TYPICAL), Quantity.TORQUE, PLAIN) == "24 N·m, typical"
    assert quantities.value(Value(24.0, None, Origin.MANUAL), Quantity.TORQUE, PLAIN) == "24 N·m"


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (0.001, 0.003, "1 to 3 mm"),
        (0.001, None, "at least 1 mm"),
        (None, 0.003, "at most 3 mm"),
        (0.003, 0.003, "3 mm"),
        (None, None, ""),
    ],
)
def test_a_range(low: float | None, high: float | None, shown: str) -> None:
    assert quantities.span(low, high, Quantity.LENGTH, PLAIN) == shown


def test_one_thing_is_no_plural() -> None:
    assert quantities.count_text(1, "hole") == "1 hole"
    assert quantities.count_text(0, "hole") == "0 holes"
