"""Every path that ARCHITECTURE.md and CONTRIBUTING.md name is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PLACES = (ROOT, ROOT / "src" / "sagwright")
PAGES = ("ARCHITECTURE.md", "CONTRIBUTING.md")
EXAMPLES = {"tests/some/test_file.py"}
"""Paths that stand for any."""
MADE = {".venv/", ".venv/bin/python", ".venv/bin/ruff", ".venv"}
"""Paths that make makes."""


def paths_in(text: str) -> set[str]:
    """What reads like a path: words with slashes between them or a known ending, in backticks or in a drawing."""
    quoted = {word for span in re.findall(r"`([^`\n]+)`", text) for word in span.split()}
    drawn = set(re.findall(r"(?<![\w/.])[\w.]+(?:/[\w.]+)+\.\w+", text))
    named = {word.rstrip(".,:;") for word in quoted | drawn}
    return {word for word in named if re.fullmatch(r"\.?[\w.-]+(/[\w.-]+)*/?", word) and is_path(word)}


def is_path(word: str) -> bool:
    return "/" in word or word.endswith((".py", ".md", ".toml", ".yaml", ".html", ".js"))


def there(path: str) -> bool:
    return any((place / path).exists() for place in PLACES)


@pytest.mark.parametrize("page", PAGES)
def test_the_paths_it_names_are_there(page: str) -> None:
    named = paths_in((ROOT / page).read_text("utf-8")) - EXAMPLES - MADE
    assert named
    assert not sorted(path for path in named if not there(path))


def test_paths_are_found() -> None:
    text = "`physics/spring.py` and `tests/judge/`, `errors.py` (`make test`, `Intake`, `plan/1`?) fold──a/b.py──▶"
    assert paths_in(text) == {"physics/spring.py", "tests/judge/", "errors.py", "plan/1", "a/b.py"}


def test_a_path_that_is_nowhere_is_seen() -> None:
    assert there("physics/spring.py")
    assert there("tests/test_layers.py")
    assert not there("physics/nowhere.py")
