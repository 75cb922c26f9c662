"""One word per thing: nothing that a person reads or types uses a word that the table in `words.toml` replaces."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SOURCE = ROOT / "src" / "sagwright"
TABLE = tomllib.loads((Path(__file__).parent / "words.toml").read_text("utf-8"))
SHOWN_DOCSTRINGS = "src/sagwright/cli/commands/*"


@dataclass(frozen=True)
class Place:
    """A text that is read, typed or stored, and where it stands."""

    file: str
    line: int
    text: str


def whole(word: str) -> re.Pattern[str]:
    """A word as it stands in a sentence, a key or a name."""
    parts = r"[ _-]+".join(re.escape(part) for part in word.split())
    return re.compile(rf"(?<![A-Za-z0-9]){parts}(?![A-Za-z0-9])", re.IGNORECASE)


WORDS = {word: whole(word) for row in TABLE["word"] for word in row.get("not", [])}
NAMES = {word: whole(word) for row in TABLE["word"] for word in row.get("names", [])}


def apart(name: str) -> str:
    """A name with its words apart: "SetupCurve" is "Setup Curve"."""
    return re.sub(r"(?<=[a-z0-9])(?=[A-Z])", " ", name)


def modules() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(SOURCE.rglob("*.py")):
        yield path.relative_to(ROOT).as_posix(), ast.parse(path.read_text("utf-8"))


def docstrings(tree: ast.Module) -> set[int]:
    """Where docstrings stand, those of fields included."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            for one in node.body:
                if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant):
                    found.add(id(one.value))
    return found


def sentences_and_keys() -> Iterator[Place]:
    """Every text in the code that is no docstring, but for the help of commands."""
    for file, tree in modules():
        silent = docstrings(tree)
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                if id(node) in silent and not fnmatch(file, SHOWN_DOCSTRINGS):
                    continue
                yield Place(file, node.lineno, node.value)


def public_names() -> Iterator[Place]:
    """Every public name of a module or a class."""
    for file, tree in modules():
        for body in (tree.body, *(node.body for node in ast.walk(tree) if isinstance(node, ast.ClassDef))):
            for node in body:
                for name in _named(node):
                    if not name.startswith("_"):
                        yield Place(file, node.lineno, apart(name))


def _named(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        return [node.target.id]
    if isinstance(node, ast.Assign):
        return [one.id for one in node.targets if isinstance(one, ast.Name)]
    return []


def pages() -> Iterator[Place]:
    """Templates without comments."""
    for path in sorted(SOURCE.rglob("*.html")):
        text = re.sub(r"\{#.*?#\}", "", path.read_text("utf-8"), flags=re.DOTALL)
        for number, line in enumerate(text.splitlines(), 1):
            yield Place(path.relative_to(ROOT).as_posix(), number, line)


def sheets() -> Iterator[Place]:
    """Shipped sheets and examples without comments."""
    for folder in (SOURCE, ROOT / "examples"):
        for path in sorted(folder.rglob("*.yaml")):
            for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
                yield Place(path.relative_to(ROOT).as_posix(), number, re.sub(r"(^|\s)#.*", "", line))


def file_names() -> Iterator[Place]:
    for path in sorted(SOURCE.rglob("*")):
        if path.suffix in {".py", ".html", ".css", ".js", ".yaml"}:
            yield Place(path.relative_to(ROOT).as_posix(), 0, path.stem)


def excepted(place: Place, word: str) -> bool:
    return any(
        fnmatch(place.file, one["where"])
        and word in one.get("words", [word])
        and (one["text"] == "*" or one["text"] in place.text or fnmatch(place.text, one["text"]))
        for one in TABLE["exception"]
    )


def faults(places: Iterator[Place], words: dict[str, re.Pattern[str]]) -> list[str]:
    return [
        f"{place.file}:{place.line}: {word!r} in {place.text.strip()[:90]!r}"
        for place in places
        for word, pattern in words.items()
        if pattern.search(place.text) and not excepted(place, word)
    ]


@pytest.mark.parametrize("places", [sentences_and_keys, pages, sheets, file_names], ids=lambda one: one.__name__)
def test_what_is_read_or_typed_uses_the_words_of_the_table(places: object) -> None:
    assert faults(places(), WORDS) == []  # type: ignore[operator]


def test_public_names_say_the_noun() -> None:
    assert faults(public_names(), WORDS | NAMES) == []


def test_every_exception_has_a_reason_and_is_needed() -> None:
    every = [*sentences_and_keys(), *pages(), *sheets(), *file_names(), *public_names()]
    hit = [place for place in every if any(p.search(place.text) for p in (WORDS | NAMES).values())]
    for one in TABLE["exception"]:
        assert one["why"].strip()
        used = any(
            fnmatch(p.file, one["where"])
            and (one["text"] == "*" or one["text"] in p.text or fnmatch(p.text, one["text"]))
            for p in hit
        )
        assert used, f"no longer needed: {one}"
