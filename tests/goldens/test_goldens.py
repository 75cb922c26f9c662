"""What the program answers is what it answered when that was recorded: see `tests/goldens/record.py`."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.goldens import documents, pages
from tests.goldens.record import GROUPS, Workshops, collected, differences, recorded
from tests.support.filled import filled_once

AGAIN = "If it is meant: python -m tests.goldens.record, and say in the commit what changed."


@pytest.fixture(scope="module")
def made(shared: Path) -> Workshops:
    """The workshops that are looked at."""
    demo = filled_once(shared, "golden-demo", documents.fill_demo)
    return Workshops(demo, filled_once(shared, "golden-shop", pages.fill_shop))


@pytest.mark.slow
@pytest.mark.parametrize("name", GROUPS)
def test_it_answers_as_it_did(made: Workshops, name: str) -> None:
    before = recorded(name)
    told = list(differences(before, collected(name, made)))
    assert before, f"nothing was recorded of {name}"
    if told:
        pytest.fail("\n".join((f"Other answers in {name}:", *told, AGAIN)), pytrace=False)


def test_a_difference_is_told_in_few_lines() -> None:
    before = {"a": ["one", "two"], "b": 1, "c": 3}
    assert list(differences(before, {"a": ["one", "too"], "c": 3, "d": 4})) == [
        "a: differs",
        "    @@ -3 +3 @@",
        '    - "two"',
        '    + "too"',
        "b: is no more",
        "d: is new",
    ]
    assert list(differences(before, {}, keys=1)) == ["a: is no more", "and 2 more keys"]
    assert list(differences(before, before)) == []
