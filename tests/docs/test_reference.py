"""What the reference pages write from the code is all there."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

import pytest
from pydantic import BaseModel

from docs.extensions.outside import fetched_from_outside
from docs.extensions.pictures import SHOTS
from docs.extensions.reference import PRINTED, WRITTEN
from docs.extensions.shapes import fields_table, markdown_of
from sagwright.cli.main import cli

ROOT: Final = Path(__file__).parents[2]
_NAMED: Final = re.compile(r"\"([a-z]+)/1\"")
WITHIN: Final = {
    "entry": "stands in job/1, as what each entry says",
    "imported": "counts of rows only",
}
"""Shapes without a page of their own, and why."""


def _keys(part: object) -> set[str]:
    if isinstance(part, list):
        return set().union(*map(_keys, part)) if part else set()
    if not isinstance(part, dict):
        return set()
    own = set(part.get("properties", {})) if isinstance(part.get("properties"), dict) else set()
    return own.union(*map(_keys, part.values()))


@pytest.mark.parametrize("name", WRITTEN)
def test_every_key_of_what_people_write_has_a_row(name: str) -> None:
    model: type[BaseModel] = WRITTEN[name][1]
    text = markdown_of(model)
    assert _keys(model.model_json_schema()) <= set(re.findall(r"^\| `([^`]+)` \|", text, re.MULTILINE))


def test_a_row_says_what_is_written_between_which_limits_and_what_it_means() -> None:
    text = markdown_of(WRITTEN["sheet"][1])
    assert "| `bore` | length, 2 mm to 100 mm | Inside diameter" in text
    assert re.search(r"^\| `origin` \| `measured` / .*; typical if left out \|", text, re.MULTILINE)
    assert re.search(r"^\| `pressure` \| a range of pressure, 0 psi to", text, re.MULTILINE)


def test_every_shape_the_program_knows_has_a_page() -> None:
    named = {name for path in (ROOT / "src").rglob("*.py") for name in _NAMED.findall(path.read_text("utf-8"))}
    assert len(named) > 15
    assert named == set(WRITTEN) - {"setup"} | set(PRINTED) | set(WITHIN)


def test_what_is_printed_is_a_row_a_field() -> None:
    document = {"shape": "some/1", "load": {"value": 330.0, "u": None}, "legs": [{"side": "left"}, {"side": None}]}
    text = fields_table([json.loads(json.dumps(document))])
    assert "| `load` | number ± u | `330 ± unknown` |" in text
    assert '| `legs[].side` | text, null | `"left"` |' in text


def test_every_command_it_runs_for_a_shape_is_one_there_is() -> None:
    assert {line.split()[0] for lines in PRINTED.values() for line in lines} <= set(cli.commands)


def test_what_a_page_would_fetch_from_another_server_is_found(tmp_path: Path) -> None:
    page = '<script src="https://cdn.example/x.js"></script><a href="https://example.org/">there</a>'
    (tmp_path / "page.html").write_text(page + '<link rel="stylesheet" href="//fonts.example/a.css"><img src="a.png">')
    (tmp_path / "a.css").write_text(
        '@font-face { src: url("https://fonts.example/b.woff2"); } a { background: url(c.png) }'
    )
    assert [(path.name, address) for path, address in fetched_from_outside(tmp_path)] == [
        ("page.html", "https://cdn.example/x.js"),
        ("page.html", "//fonts.example/a.css"),
        ("a.css", "https://fonts.example/b.woff2"),
    ]


def test_every_picture_that_a_page_shows_is_taken() -> None:
    pages = [path.read_text("utf-8") for path in (ROOT / "docs").rglob("*.md") if "generated" not in path.parts]
    shown = {name for page in pages for name in re.findall(r"^```\{picture\} (\S+)$", page, re.MULTILINE)}
    assert shown == set(SHOTS)
