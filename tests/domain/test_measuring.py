"""One row for an instrument in a situation, read by somebody, and no second home for such a number."""

from __future__ import annotations

import math
import re
from collections import Counter
from pathlib import Path

import pytest

from sagwright.domain import measuring
from sagwright.domain.measuring import Accuracy, half_width, within

SOURCE = Path(measuring.__file__).parent.parent
ROWS = {name: row for name, row in vars(measuring).items() if isinstance(row, Accuracy)}
HOME = Path("domain/measuring.py")
SOURCES = {path.relative_to(SOURCE): path.read_text("utf-8") for path in sorted(SOURCE.rglob("*.py"))}
BY_HAND = re.compile(r"sqrt\(3(\.0)?\)|\b3(\.0)?\s*\*\*\s*0\.5")
"""A tolerance that is made a standard uncertainty by hand."""
PSI = re.compile(r"6[_.]?894[_.]?\d")
"""Pascals in a psi, which follow from pound, gravity and inch."""


def test_an_instrument_has_one_accuracy_in_a_situation() -> None:
    rows = Counter((row.instrument, row.situation) for row in ROWS.values())
    assert not [row for row, times in rows.items() if times > 1]


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS)
def test_every_row_is_a_number_with_an_origin(row: Accuracy) -> None:
    assert 0.0 < row.u < math.inf
    assert row.situation
    assert row.origin


@pytest.mark.parametrize("name", ROWS)
def test_every_row_is_read(name: str) -> None:
    assert any(re.search(rf"\b{name}\b", text) for path, text in SOURCES.items() if path != HOME)


def test_a_rectangle_of_half_width_one_has_the_published_standard_uncertainty() -> None:
    """JCGM 100:2008, 4.3.7: a²/3 is the variance of a rectangular distribution of half-width a."""
    assert within(1.0) ** 2 == pytest.approx(1.0 / 3.0, rel=1e-15)
    assert half_width(within(0.003)) == pytest.approx(0.003, rel=1e-15)


def test_two_readings_differ_by_the_root_of_the_summed_squares() -> None:
    """JCGM 100:2008, 5.1.2, for two readings that share nothing."""
    assert measuring.RULE.difference_u == pytest.approx(math.hypot(measuring.RULE.u, measuring.RULE.u), rel=1e-15)


def matching(pattern: re.Pattern[str]) -> set[Path]:
    """The modules that have such a text."""
    return {path for path, text in SOURCES.items() if pattern.search(text)}


def test_a_tolerance_becomes_a_standard_uncertainty_in_one_place() -> None:
    assert matching(BY_HAND) == {HOME}


def test_a_psi_is_no_number_of_any_module() -> None:
    assert not matching(PSI)
    assert all(PSI.search(text) for text in ("6894.757293168", "6_894.76", "6.894757293168e9"))
