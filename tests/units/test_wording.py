"""The numbers of an error, read in the units of who reads it."""

from __future__ import annotations

import pytest

from sagwright.errors import InputErrors, NoSolution, OutOfRange
from sagwright.units import choose_units, worded
from sagwright.units.choice import UnitChoice

PERMITTED = OutOfRange(
    "must lie above {low}",
    field="travel",
    value="{travel}",
    remedy="There are {offered}.",
    figures={"low": (0.1, "length"), "travel": (0.127, "length"), "offered": ((0.13, 0.14), "length")},
)


@pytest.mark.parametrize(
    ("choice", "said"),
    [
        ("mm", "travel must lie above 100 mm, got '127 mm'. There are 130, 140 mm."),
        ("in", "travel must lie above 3.94 in, got '5 in'. There are 5.12, 5.51 in."),
    ],
)
def test_figures_stand_in_every_text(choice: str, said: str) -> None:
    assert str(worded(PERMITTED, choose_units(choice))) == said


def test_without_a_reader_they_are_si() -> None:
    assert str(PERMITTED) == "travel must lie above 0.1, got '0.127'. There are (0.13, 0.14)."


def test_a_limit_keeps_the_decimals_that_matter() -> None:
    fault = OutOfRange("must be at most {most}", figures={"most": (0.00635, "length")})
    assert str(worded(fault)) == "must be at most 6.35 mm."
    assert str(worded(fault, UnitChoice(decimal=","))) == "must be at most 6,35 mm."


def test_place_and_kind_stay() -> None:
    fault = PERMITTED.at(file="a.yaml", line=3, field=None)
    told = worded(InputErrors((fault,)))
    assert isinstance(told, InputErrors)
    (one,) = told.errors
    assert isinstance(one, OutOfRange)
    assert (one.file, one.line, one.field, one.value) == ("a.yaml", 3, "travel", "127 mm")


def test_braces_that_name_no_figure_and_other_errors_stay() -> None:
    assert str(worded(OutOfRange("must be {this}", figures={"that": (1.0, "count")}))) == "must be {this}."
    other = NoSolution("no root")
    assert worded(other) is other
