"""Words of schema 0001 → words of schema 0002, in everything that is stored as text. Pure, and never changed again.

Keys and names of things change; sentences that were decided or typed stay as they were written.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from sagwright.formats.records.sheet_words_0002 import name, sheet

Json = Any  # what json.loads gives

_AS_WRITTEN: Final = {"name", "what", "do", "text", "limit", "position", "serial", "chassis", "maker", "model"}
"""Keys in a plan of what a sheet or a person says; the words of a finding are names, too, some of them in a row."""
_PLAIN: Final = re.compile(r"[\w.:=\-]+(?:, [\w.:=\-]+)*")
_WORK_KEYS: Final = {
    "architecture": "base",
    "bath_oil": "lower_leg_oil",
    "build": "setup",
    "candidates": "options",
    "distance": "mismatch",
    "distance_low": "mismatch_low",
    "end_rise": "ramp_up",
    "equaliser_hole": "port_position",
    "gate": "hold_point",
    "kit": "tools_and_parts",
    "mid_support": "mid_stroke_support",
    "proven": "optimal",
    "same_pressure": "as_found_pressure",
    "sat": "rider_loads",
    "way_back": "reassembly",
}
_INTAKE_KEYS: Final = {"bath_oil": "lower_leg_oil", "equaliser_hole": "port_position", "kit": "gear"}
"""Of an intake, whose facts stand in the order of their paths."""
_ENTRY_KEYS: Final = {"owner": "customer", "promised": "due", "proven": "passed"}
_READING_KEYS: Final = {"said": "as_typed", "passes": "within_limits"}
_KINDS: Final = {
    "taken in": "checked in",
    "settled": "intake updated",
    "recorded": "step done",
    "found wrong": "problem found",
    "waits": "put on hold",
    "proved": "final check",
    "turned away": "refused",
    "promised": "due date",
}
_STAGES: Final = {"take in": "check in", "choose": "plan", "prove": "final check"}
_FORMS: Final = {"take in": "check in", "take-in": "check-in", "settle": "update intake"}
_VALUES: Final = {
    "act": {"prove": "check"},
    "stage": {"holding": "assembly"},
    "severity": {"refuse": "not allowed", "ask": "question"},
    "thread_state": {"thread compound": "threadlocker"},
    "rule": {"gate": "hold-point", "proof": "final-readings"},
}


def entry(text: str) -> str:
    """The payload of an entry, without the ids of what it names."""
    said = json.loads(text)
    kind = said["kind"]
    said = {_ENTRY_KEYS.get(key, key): _part(key, value) for key, value in said.items()}
    said["kind"] = _KINDS.get(kind, kind)
    if kind == "waits" and said["reason"] == "owner":
        said["reason"] = "customer"
    return _compact(said)


def _part(key: str, value: Json) -> Json:
    """One part of an entry."""
    if key == "readings":
        return [
            {_READING_KEYS.get(one, one): name(v) if one == "key" else v for one, v in row.items()} for row in value
        ]
    if key in {"facts", "found"}:
        return [[name(path), each] for path, each in value]
    if key in {"steps", "failed", "tasks"} and isinstance(value, list):
        return [name(one) for one in value]
    if key == "work_shape":
        return shape(value)
    return name(value) if key in {"step", "about"} and isinstance(value, str) else value


def shape(old: str) -> str:
    """The shape of a document: plans of tasks alone have the shape of every plan."""
    return "plan/1" if old == "steps/1" else old


def document(of: str, text: str) -> str:
    """A document of an older shape that was decided on: a plan, an intake; anything else as it is."""
    if shape(of) == "plan/1":
        plan = _work(json.loads(text), "")
        return _as_before(text, plan | {"shape": shape(of)})
    if of == "intake/1":
        return _as_before(text, _intake(json.loads(text), ""))
    return text


def _work(value: Json, key: str, *, of_finding: bool = False) -> Json:
    if isinstance(value, list):
        return [_work(one, key, of_finding=of_finding) for one in value]
    if isinstance(value, dict):
        keys = _WORK_KEYS if "mass" not in value else {**_WORK_KEYS, "kit": "gear"}
        found = of_finding or key == "words"
        return {keys.get(one, one): _work(each, one, of_finding=found) for one, each in value.items()}
    if isinstance(value, str) and (of_finding or key not in _AS_WRITTEN):
        changed = _VALUES.get("rule" if key == "rules" else key, {}).get(value, value)
        return ", ".join(map(name, changed.split(", "))) if _PLAIN.fullmatch(changed) else changed
    return value


def _intake(value: Json, key: str) -> Json:
    if isinstance(value, list):
        return [_intake(one, key) for one in value]
    if isinstance(value, dict):
        renamed = {_INTAKE_KEYS.get(one, one): _intake(each, one) for one, each in value.items()}
        return dict(sorted(renamed.items())) if key and list(value) == sorted(value) else renamed
    return name(value) if key in {"about", "tasks"} else value


def draft(text: str) -> str:
    """A half-filled form, its fields named anew."""
    return _compact({_field(key): value for key, value in json.loads(text).items()})


def _field(field: str) -> str:
    if field.startswith("kit."):
        return f"tools_and_parts.{field.removeprefix('kit.')}"
    field = re.sub(r"^owner\.", "customer.", field)
    return {"promised": "due", "owner": "customer"}.get(field, name(field))


def row(table: str, columns: Mapping[str, Json]) -> dict[str, Json]:
    """A row of a table, under the table's old name, with its columns and values named anew; ids stay."""
    values = {_COLUMNS.get(key, key): value for key, value in columns.items()}
    if table == "jobs":
        values["stage"] = _STAGES.get(values["stage"], values["stage"])
        values["on_hold"] = "customer" if values["on_hold"] == "owner" else values["on_hold"]
    elif table == "entries":
        values["kind"] = _KINDS.get(values["kind"], values["kind"])
        values["payload"] = entry(values["payload"])
    elif table == "drafts":
        values["form"] = _FORMS.get(values["form"], values["form"])
        values["text"] = draft(values["text"])
    elif table == "sheets":
        values["text"] = sheet(values["text"])
        values["inputs"] = _compact_spaced([[one, sheet(text)] for one, text in json.loads(values["inputs"])])
    return values


def sheet_id(key: str, text: str, inputs: Json) -> str:
    """The id of a sheet's revision."""
    return hashlib.sha256(_compact([key, text, [list(one) for one in inputs]]).encode()).hexdigest()[:32]


def document_id(of: str, text: str) -> str:
    """The id of a document of a shape."""
    return hashlib.sha256(f"{of}\n{text}".encode()).hexdigest()[:32]


def with_ids(text: str, ids: Mapping[str, str]) -> str:
    """The payload of an entry with the ids of sheets and documents as they are now."""
    said = json.loads(text)
    for key in ("sheet", "work", "intake", "bike", "document"):
        if isinstance(said.get(key), str):
            said[key] = ids.get(said[key], said[key])
    return _compact(said)


def _as_before(text: str, value: Json) -> str:
    """JSON written as the text was: indented or on one line, with or without a newline at its end."""
    end = "\n" if text.endswith("\n") else ""
    if "\n" in text.rstrip("\n"):
        return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=2) + end
    return _compact(value) + end


def _compact(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _compact_spaced(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False)


_COLUMNS: Final = {
    "owner": "customer",
    "promised": "due",
    "taken_in": "checked_in",
    "waiting": "on_hold",
    "waiting_what": "on_hold_what",
}
"""Columns of tables."""


def columns_before(now: Mapping[str, Mapping[str, type]]) -> dict[str, dict[str, type]]:
    """The tables and columns of schema 0001, from those of schema 0002."""
    before = {new: old for old, new in _COLUMNS.items()}
    return {
        ("owners" if table == "customers" else table): {before.get(key, key): kind for key, kind in columns.items()}
        for table, columns in now.items()
    }


def tables(old: Iterable[tuple[str, Iterable[dict[str, Json]]]]) -> Iterator[tuple[str, Iterator[dict[str, Json]]]]:
    """An export of schema 0001 as one of schema 0002, row by row; a table is read to its end before the next one.

    Sheets stand before jobs, and documents before entries, so what names them can follow their new ids.
    """
    ids: dict[str, str] = {}
    for table, rows in old:
        yield ("customers" if table == "owners" else table), (_exported(table, one, ids) for one in rows)


def _exported(table: str, columns: Mapping[str, Json], ids: dict[str, str]) -> dict[str, Json]:
    values = row(table, columns)
    if table == "sheets":
        ids[values["id"]] = sheet_id(values["key"], values["text"], json.loads(values["inputs"]))
        values["id"] = ids[values["id"]]
    elif table == "documents":
        values["text"] = document(values["shape"], values["text"])
        values["shape"] = shape(values["shape"])
        ids[values["id"]] = document_id(values["shape"], values["text"])
        values["id"] = ids[values["id"]]
    elif table == "jobs":
        values["sheet"] = ids.get(values["sheet"], values["sheet"])
    elif table == "entries":
        values["payload"] = with_ids(values["payload"], ids)
    return values
