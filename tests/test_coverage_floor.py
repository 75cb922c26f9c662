"""The floor of the coverage: what falls below it is refused, and it rises with what is covered."""

from __future__ import annotations

import pytest

from scripts.coverage_floor import verdict


@pytest.mark.parametrize(
    ("measured", "enough", "says"),
    [(89.9, False, "test what is new"), (90.0, True, "the floor is 90 %"), (91.2, True, "raise fail_under")],
)
def test_it_is_held_and_rises(measured: float, enough: bool, says: str) -> None:  # noqa: FBT001  # a case
    held, sentence = verdict(measured, 90)
    assert held is enough
    assert says in sentence
