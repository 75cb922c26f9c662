"""Shop units stand at the rim alone: what computes, plans and keeps says numbers in SI, and no unit in its texts.

Docstrings and comments may name units; a docstring is a text that stands by itself.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sagwright.units.table import UNITS

SOURCE = Path(__file__).parent.parent / "src" / "sagwright"
INSIDE = ("domain", "physics", "planning", "judge", "store")

NOT_SHOP = {"N", "J", "K", "Pa", "m", "s", "h", "l", "g", "in", "min", "days", "%"}
"""SI itself, letters and words that mean something else, and the sign that everybody reads a share in."""
SHOP = sorted((unit.name for unit in UNITS if unit.name and unit.name not in NOT_SHOP), key=len, reverse=True)
UNIT = re.compile(rf"(?<![\w.-])[\d.]*\s?({'|'.join(re.escape(name) for name in SHOP)})(?!\w)")

EXCEPTIONS = {
    ("planning/matching/coil_shelf.py", "Name at least one, like rate: 8 N/mm."): "how a person writes a coil",
    ("planning/spring/curves.py", "Write it, like pressure: 78 psi."): "how a person writes a build",
    ("planning/work/air_tasks.py", "Add it, like --task set-pressure=80psi, or drop "): "how a person writes a task",
    ("planning/work/tools_and_parts.py", " mm"): "part of a spacer's name, by which it is ticked as ready and kept",
    ("planning/work/tools_and_parts.py", " ml"): "part of a spacer's name, by which it is ticked as ready and kept",
}


def texts(source: str) -> Iterator[str]:
    """Every string of a source that is no docstring, the fixed parts of those with fields too."""
    tree = ast.parse(source)
    alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone:
            yield node.value


def with_units() -> Iterator[tuple[str, str]]:
    """Every text inside that names a unit, with its file."""
    for layer in INSIDE:
        for path in sorted((SOURCE / layer).rglob("*.py")):
            name = path.relative_to(SOURCE).as_posix()
            yield from ((name, text) for text in texts(path.read_text("utf-8")) if UNIT.search(text))


def test_no_text_inside_names_a_shop_unit() -> None:
    assert not [found for found in with_units() if found not in EXCEPTIONS]


def test_every_exception_still_stands() -> None:
    assert set(with_units()) == set(EXCEPTIONS)


@pytest.mark.parametrize("text", ["must be at most 6.35 mm", " bar", "80psi", "0 and 90°", "20 °C", "8 ml", " N·m"])
def test_a_unit_is_seen(text: str) -> None:
    assert UNIT.search(text)


@pytest.mark.parametrize("text", ["the handlebar", "barrel", "mmap", "travel_mm_like", "a psig", "{travel} of travel"])
def test_a_word_is_no_unit(text: str) -> None:
    assert not UNIT.search(text)


def test_docstrings_may_name_units() -> None:
    assert list(texts('def f():\n    """In 1 mm."""\n    return f"{x} mm"')) == [" mm"]
