"""Shapes as tables: what people write, from the models that read it; what the program prints, from its own output."""

from __future__ import annotations

import json
import typing
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from sagwright.domain.value import Quantity, Value
from sagwright.formats.fields.kinds import (
    Count,
    Day,
    Field,
    Name,
    OrUnknown,
    Phrase,
    QuantityField,
    Range,
    Word,
    Words,
    YesNo,
)
from sagwright.units import UnitChoice, show_in

Models = dict[type[BaseModel], str]
_UNITS: Final = UnitChoice()
LONGEST: Final = 48
"""Characters of an example that are shown."""


def markdown_of(root: type[BaseModel], *, level: int = 2) -> str:
    """Every model that a file is made of, each with a table of its fields.

    Parameters
    ----------
    root : type
        The model of the whole file.
    level : int
        Of the headings.
    """
    parts = []
    for model, path in _models(root).items():
        title = f"`{path}`" if path else "The file"
        parts += [f"{'#' * level} {title}", _about(model), _table(model)]
    return "\n\n".join(parts) + "\n"


def _models(root: type[BaseModel]) -> Models:
    """Every model inside a file with the path of keys that first leads to it."""
    found: Models = {root: ""}
    waiting = [root]
    while waiting:
        model = waiting.pop(0)
        for key, about in model.model_fields.items():
            for nested, inner in _nested(about.annotation):
                if nested not in found:
                    found[nested] = ".".join(part for part in (found[model], _written_as(key, about), inner) if part)
                    waiting.append(nested)
    return found


def _written_as(key: str, about: FieldInfo) -> str:
    return about.alias or key


def _nested(annotation: object) -> Iterator[tuple[type[BaseModel], str]]:
    """The models in an annotation, with what stands between a field's key and theirs."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation, ""
        return
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    between = "NAME" if origin is dict else "each" if origin in (list, tuple) else ""
    for argument in arguments:
        for model, inner in _nested(argument):
            yield model, ".".join(part for part in (between, inner) if part)


def _about(model: type[BaseModel]) -> str:
    first, _, _rest = (model.__doc__ or "").strip().partition("\n\n")
    return " ".join(first.split())


def _table(model: type[BaseModel]) -> str:
    rows = ["| key | what is written | meaning |", "|---|---|---|"]
    for key, about in model.model_fields.items():
        needed = "" if about.is_required() else _default(about)
        rows.append(f"| `{_written_as(key, about)}` | {_kind_of(about)}{needed} | {_meaning(about)} |")
    return "\n".join(rows)


def _default(about: FieldInfo) -> str:
    default = about.default
    if default is None or default in ({}, [], ""):
        return "; may be left out"
    shown = {True: "yes", False: "no"}[default] if isinstance(default, bool) else default
    if isinstance(default, Enum):
        shown = default.value
    if isinstance(default, Value):
        shown = default.as_written
    return f"; {_plain(str(shown))} if left out"


def _meaning(about: FieldInfo) -> str:
    examples = [one if isinstance(one, str) else json.dumps(one, ensure_ascii=False) for one in about.examples or ()]
    shown = ", ".join(f"`{_plain(one)}`" for one in examples)
    return _plain(about.description or "") + (f" For example {shown}." if shown else "")


def _plain(text: str) -> str:
    return text.replace("|", "\\|")


def _kind_of(about: FieldInfo) -> str:
    stated = [one for one in about.metadata if isinstance(one, Field)]
    return _kind(stated[0]) if stated else _annotated(about.annotation)


def _annotated(annotation: object) -> str:
    """What is written where the annotation holds the kind inside."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return "keys of its own"
    for one in getattr(annotation, "__metadata__", ()):
        if isinstance(one, Field):
            return _kind(one)
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is dict:
        return f"names, each with {_annotated(arguments[1])}"
    if origin in (list, tuple):
        return f"a list, each {_annotated(arguments[0])}"
    kinds = [_annotated(one) for one in arguments if one is not type(None)]
    return " or ".join(dict.fromkeys(kinds)) or "text"


def _kind(field_: Field) -> str:
    """What one kind of field takes, in words, its limits in shop units."""
    if isinstance(field_, OrUnknown):
        return f"{_kind(field_.field)}, or “{field_.unknown.value}”"
    if isinstance(field_, QuantityField | Range):
        what = "a range of " if isinstance(field_, Range) else ""
        return f"{what}{_quantity(field_.quantity)}, {_between(field_.low, field_.high, field_.quantity)}"
    if isinstance(field_, Word):
        return " / ".join(f"`{one}`" for one in field_.words)
    if isinstance(field_, Count):
        return f"a whole number, {field_.low} to {field_.high}"
    return next(text for kind, text in _OTHERS.items() if isinstance(field_, kind))


_OTHERS: Final[dict[type[Field], str]] = {
    YesNo: "`yes` / `no`",
    Words: "text",
    Day: "a day, year-month-day",
    Name: "a short name",
    Phrase: "text",
    Field: "text",
}


def _quantity(quantity: Quantity) -> str:
    return {Quantity.RATIO: "number", Quantity.FRACTION: "share"}.get(quantity, quantity.value)


def _between(low: float, high: float, quantity: Quantity) -> str:
    least, most = (show_in(_UNITS, end, quantity) for end in (low, high))
    return f"{least} to {most}"


@dataclass
class RecordedLine:
    """What was seen at one path of a document."""

    kinds: dict[str, None] = field(default_factory=dict)
    example: str = ""


def fields_of(documents: Iterable[object]) -> dict[str, RecordedLine]:
    """Every path of some JSON documents, in the order in which they stand, with the kinds of value seen there."""
    found: dict[str, RecordedLine] = {}
    for document in documents:
        _walk(document, "", found)
    return found


def _walk(part: object, path: str, found: dict[str, RecordedLine]) -> None:
    if path:
        seen = found.setdefault(path, RecordedLine())
        seen.kinds.setdefault(_json_kind(part))
        seen.example = seen.example or _json_example(part)
    for one in part if isinstance(part, list) else (part,):
        if isinstance(one, dict) and not _is_measured(one):
            for key, value in one.items():
                inside = f"{path}[]" if isinstance(part, list) else path
                _walk(value, f"{inside}.{key}" if path else key, found)


def _is_measured(part: object) -> bool:
    return isinstance(part, dict) and {"value", "u"} <= set(part) <= {"value", "u", "origin"}


def _json_kind(part: object) -> str:
    if isinstance(part, dict):
        return ("number ± u, origin" if "origin" in part else "number ± u") if _is_measured(part) else "object"
    if isinstance(part, list):
        return "list"
    names: Mapping[type, str] = {str: "text", bool: "true or false", int: "number", float: "number"}
    return names.get(type(part), "null")


def _json_example(part: object) -> str:
    """A short value of a field, to six figures; empty where there is none to show."""
    if isinstance(part, dict) and _is_measured(part):
        value, u = part["value"], part["u"]
        return f"{_json_example(value)} ± {_json_example(u) or 'unknown'}" if isinstance(value, int | float) else ""
    if isinstance(part, float):
        return f"{part:.6g}"
    if part is None or isinstance(part, dict | list):
        return ""
    text = json.dumps(part, ensure_ascii=False)
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def fields_table(documents: Iterable[object]) -> str:
    """Tables of every field that was seen, one for each part of the document that has fields of its own."""
    parts: dict[str, list[str]] = {"": []}
    for path, seen in fields_of(documents).items():
        top = path.partition(".")[0].removesuffix("[]") if "." in path else ""
        example = f"`{_plain(seen.example)}`" if seen.example else ""
        parts.setdefault(top, []).append(f"| `{path}` | {', '.join(seen.kinds)} | {example} |")
    head = ["| field | value | for example |", "|---|---|---|"]
    return "\n\n".join("\n".join([*([f"## `{top}`", ""] if top else []), *head, *rows]) for top, rows in parts.items())
