"""Names of things and texts of spec sheets: words of schema 0001 → words of schema 0002. Pure, and never changed again.

In a sheet, keys and names change by where they stand; sentences and comments stay as they were written.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import yaml

_PIECES: Final = (
    ("equaliser_hole", "port_position"),
    ("equaliser_port", "port_passage"),
    ("equaliser", "transfer_port"),
    ("bath_oil", "lower_leg_oil"),
    ("air_clip", "air_retaining_ring"),
    ("spring_clip", "spring_retaining_ring"),
    ("glide_ring", "wear_band"),
    ("own-charge", "own-pressure"),
    ("same-pressure", "as-found-pressure"),
    ("proven-empty", "confirmed-empty"),
    ("proven-again", "rechecked"),
    ("clip-proven", "retainer-checked"),
    ("proof-last", "final-readings-last"),
    ("drawn-in", "stuck-down"),
    ("rider.kit", "rider.gear"),
    ("technician.kit", "technician.gear"),
)
"""Pieces of names: of items, steps, paths, finding codes and rules."""

_NAMES: Final = {
    "aim.as-it-rode-refused": "aim.as-it-rode-not-allowed",
    "task.within": "task.included",
    "owner_told": "customer_told",
    "equaliser-wrong": "transfer-port-wrong",
    "stance.also-changes": "stance.other-changes",
    "found.equaliser-behind": "found.transfer-port-behind",
    "found.equaliser-ahead": "found.transfer-port-ahead",
}
_PIECE: Final = re.compile("|".join(rf"(?<![A-Za-z0-9]){re.escape(old)}(?![A-Za-z0-9])" for old, _ in _PIECES))
_STEP: Final = re.compile(r"(?<![\w-])(?:prove:|charge:holding:)")
_STEPS: Final = {"prove:": "check:", "charge:holding:": "charge:assembly:"}

_ROLES: Final = {
    "bath oil": "lower-leg oil",
    "equaliser": "transfer port",
    "clip": "retaining ring",
    "foot fastener": "foot nut or bolt",
}
_Place = tuple[str, ...]
_SHEET_KEYS: Final[dict[_Place, Mapping[str, str]]] = {
    (): {"equaliser": "transfer_port"},
    ("equaliser",): {"holes": "positions"},
    ("charging",): {"holding": "assembly_pressure"},
    ("legs", "*"): {"bath_oil": "lower_leg_oil"},
    ("items", "*"): {"prove": "check"},
    ("items", "*", "*"): {"gate": "hold_point"},
}
"""Keys of a sheet by where they stand; `*` is any one key."""
_SHEET_VALUES: Final[dict[_Place, Mapping[str, str]]] = {
    ("charging", "before_lowers"): {"holding": "assembly"},
    ("items", "*", "role"): _ROLES,
}
_SHEET_NAMES: Final = {
    ("items",),
    ("service",),
    ("items", "*", "criteria"),
    ("items", "*", "*", "record"),
    ("items", "*", "covered_by", "*"),
    ("items", "*", "after", "*"),
}
"""Where a sheet has names of its own: as keys of a table, or in a list."""
_TORQUE: Final = ("items", "*", "*", "torque")
_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def name(text: str) -> str:
    """A name of a thing, a step, a path, a code or a rule."""
    text = _NAMES.get(text, text)
    text = _STEP.sub(lambda found: _STEPS[found[0]], text)
    return _PIECE.sub(lambda found: dict(_PIECES)[found[0]], text)


@lru_cache(maxsize=256)  # sheets share what they extend
def sheet(text: str) -> str:
    """The text of a spec sheet, sentences and comments as they were; a text that cannot be read stays as it is."""
    try:
        root = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError:
        return text
    for start, end, new in sorted(_edits(root, (), text), reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _edits(node: yaml.Node | None, place: _Place, text: str) -> Iterator[tuple[int, int, str]]:
    """What of a sheet's text is written otherwise: from where, to where, and the new words."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _edit(key, _renamed_key(str(key.value), place), text)
            yield from _edits(value, (*place, str(key.value)), text)
    elif isinstance(node, yaml.SequenceNode):
        for one in node.value:
            yield from _edits(one, (*place, "*"), text)
    elif isinstance(node, yaml.ScalarNode):
        if _is_at(place, _TORQUE):
            new = re.sub(r"\bthread\s+compound\b", "threadlocker", node.value)
        elif any(_is_at(place, one) for one in _SHEET_NAMES):
            new = name(node.value)
        else:
            new = _found(_SHEET_VALUES, place).get(node.value, node.value)
        yield from _edit(node, new, text)


def _edit(node: yaml.Node, new: str, text: str) -> Iterator[tuple[int, int, str]]:
    """One scalar written anew, in the quotes it had."""
    if new != node.value:
        start, end = node.start_mark.index, node.end_mark.index
        if text[start] == "'":
            new = "'" + new.replace("'", "''") + "'"
        elif text[start] == '"':
            new = json.dumps(new, ensure_ascii=False)
        yield start, end, new


def _renamed_key(key: str, place: _Place) -> str:
    if any(_is_at(place, one) for one in _SHEET_NAMES):
        return name(key)
    return _found(_SHEET_KEYS, place).get(key, key)


def _found(table: Mapping[_Place, Mapping[str, str]], place: _Place) -> Mapping[str, str]:
    return next((words for one, words in table.items() if _is_at(place, one)), {})


def _is_at(place: _Place, wanted: _Place) -> bool:
    return len(place) == len(wanted) and all(b in {"*", a} for a, b in zip(place, wanted, strict=True))
