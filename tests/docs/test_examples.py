"""The examples of the documentation run: files, commands and Python, page by page, each in an empty folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from sybil import Example, Region, Sybil
from sybil.document import Document
from sybil.parsers.myst import PythonCodeBlockParser
from sybil.parsers.myst.lexers import DirectiveLexer

from docs.extensions.workplace import Command, Unexpected, Workplace, command_of, excerpt

DOCS: Final = Path(__file__).parents[2] / "docs"
_DIRECTIVES: Final = DirectiveLexer(directive=r"file|run")


def _parsed(document: Document) -> Iterator[Region]:
    for region in _DIRECTIVES(document):
        yield Region(region.start, region.end, region.lexemes, _evaluated)


def _evaluated(example: Example) -> None:
    place: Workplace = example.namespace["place"]
    lexemes = example.parsed
    argument, body = lexemes["arguments"].strip(), str(lexemes["source"])
    if lexemes["directive"] == "file":
        place.write(argument, body)
    else:
        place.run(command_of(argument, lexemes["options"], body))


SYBIL: Final = Sybil([PythonCodeBlockParser(), _parsed])


def _examples(path: Path) -> list[Example]:
    return list(SYBIL.parse(path))


def _pages() -> list[Path]:
    pages = [path for path in sorted(DOCS.rglob("*.md")) if "generated" not in path.parts]
    return [path for path in pages if _examples(path)]


@pytest.mark.parametrize("page", _pages(), ids=lambda path: str(path.relative_to(DOCS)))
def test_the_examples_of_a_page_do_what_it_says(page: Path) -> None:
    place = Workplace()
    try:
        for example in _examples(page):
            example.namespace["place"] = place
            with place.entered():
                example.evaluate()
    finally:
        place.close()


def test_most_pages_have_some() -> None:
    assert len(_pages()) >= 10


def test_a_wrong_exit_code_or_output_is_found() -> None:
    place = Workplace()
    try:
        with pytest.raises(Unexpected, match="exit 0, not 1"):
            place.run(Command("--version", exit_code=1))
        with pytest.raises(Unexpected, match="where the page says"):
            place.run(Command("--version", expected="something else"))
        assert place.run(Command("--version", expected="sagwright ...")).startswith("sagwright ")
    finally:
        place.close()


def test_an_excerpt_is_a_part_from_a_line_and_no_longer_than_wished() -> None:
    printed = "head\n\nONE ────\na\nb\nc\n\nTWO ────\nd\n"
    assert excerpt(printed, Command("x", part=0)) == "head"
    assert excerpt(printed, Command("x", part=2)) == "TWO ────\nd"
    assert excerpt(printed, Command("x", part=1, first="b", most=1)) == "b\n..."
    with pytest.raises(Unexpected, match="2 parts, not 3"):
        excerpt(printed, Command("x", part=3))
    with pytest.raises(Unexpected, match="no line holds 'z'"):
        excerpt(printed, Command("x", first="z"))
