"""Every source that the code names by key is in the bibliography, and every one there is named somewhere."""

from __future__ import annotations

import pathlib
import re

from sagwright.sources import SOURCES

ROOT = pathlib.Path(__file__).parents[1]
KEY = re.compile(r"(?<=[ (])\[([a-z]{2,}[a-z0-9]*(?:-[a-z0-9]+)+)\](?=[ ,.;:)\n\"])")


def named_in(folder: str) -> set[str]:
    texts = (path.read_text("utf-8") for path in (ROOT / folder).rglob("*.py"))
    return {key for text in texts for key in KEY.findall(text)}


def test_every_key_in_the_package_is_in_the_bibliography() -> None:
    assert named_in("src") <= set(SOURCES)


def test_every_source_is_named() -> None:
    assert set(SOURCES) <= named_in("src") | named_in("tests")


def test_every_source_says_how_it_was_met() -> None:
    assert all(source.citation.endswith(".") and source.how_known for source in SOURCES.values())
