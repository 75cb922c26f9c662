"""A sheet of what was measured on one unit; everything else stays as its base sheet has it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any, Final, TypeAlias

from sagwright.formats.sheet.catalogue import find_sheet
from sagwright.formats.sheet.shape import SHEET
from sagwright.formats.source.tree import YamlTable, dump_yaml, put, text_at

NOT_IN_A_NAME: Final = re.compile(r"[^a-z0-9]+")


WrittenValues: TypeAlias = str | list[str] | list[dict[str, str]]
"""A value, or a list of them."""


def thin_sheet(base: str, written: Mapping[str, WrittenValues]) -> str:
    """The text of a sheet, revision 1, on a base sheet.

    Parameters
    ----------
    base : str
        Its shipped name.
    written : mapping of str to str or list
        What is known, by path: "maker", "spring.bore"; what is empty is left to the base sheet.

    Returns
    -------
    str
        YAML; every value in it is "measured" unless it says otherwise.
    """
    tree: dict[str, Any] = {"shape": SHEET, "extends": base}
    for path, text in written.items():
        if text:
            put(tree, path, text)
    tree = {**tree, "revision": tree.get("revision", "1"), "origin": "measured"}
    return dump_yaml(tree)


def key_for(maker: str, model: str) -> str:
    """The key of a sheet by what it describes: "specimen/t35"; empty where no name is left of one of them."""
    parts = [NOT_IN_A_NAME.sub("-", text.casefold()).strip("-") for text in (maker, model)]
    return "/".join(parts) if all(parts) else ""


def typical_of(base: str, path: str) -> str:
    """What a base sheet writes at a path; empty where it says nothing."""
    steps = tuple(path.split("."))
    return text_at(_tree(base), steps) or ""


@cache
def _tree(base: str) -> YamlTable:
    """A shipped base sheet, which never changes while the program runs."""
    return find_sheet(base, files=False).root
