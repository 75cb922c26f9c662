"""The change of words changed keys and names as the table `words.toml` says, and no number."""

from __future__ import annotations

import pytest

from tests.goldens.record import GROUPS
from tests.goldens.words import Table, faults, faults_of, table

TABLE = Table({"build": ["setup"]}, {"bath": ["lower-leg-oil"]}, {})


@pytest.mark.parametrize("name", GROUPS)
def test_only_words_changed(name: str) -> None:
    assert faults_of(name, table()) == []


def test_what_the_table_has_is_no_fault() -> None:
    before = {"build": {"holes": 2, "of": "bath"}, "text": "The owner waits\nfor 12 psi."}
    after = {"setup": {"holes": 2, "of": "lower-leg-oil"}, "text": "The customer waits for 12 psi."}
    assert list(faults(before, after, TABLE)) == []


@pytest.mark.parametrize(
    "after",
    [
        {"setup": {"holes": 3}, "text": "for 12 psi"},
        {"setup": {"holes": 2}, "text": "for 13 psi"},
        {"setup": {"holes": 2}},
        {"setup": {"holes": 2}, "text": "for 12 psi", "more": 1},
        {"kit": {"holes": 2}, "text": "for 12 psi"},
    ],
)
def test_anything_else_is_a_fault(after: dict[str, object]) -> None:
    assert list(faults({"build": {"holes": 2}, "text": "for 12 psi"}, after, TABLE))
