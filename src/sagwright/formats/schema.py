"""The JSON Schemas of sheet/1 and bike/1, so that editors complete and check a file while it is written."""

from __future__ import annotations

from typing import Any, Final

from sagwright.formats.bike.shape import BikeShape
from sagwright.formats.json_text import dump_json
from sagwright.formats.sheet.catalogue import LEFT_OUT
from sagwright.formats.sheet.shape import SheetShape

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def sheet_schema() -> dict[str, Any]:
    """JSON Schema, draft 2020-12, of a sheet as it stands in its file.

    A sheet that extends another may leave out any key and take an inherited one away, so no key is required but the
    shape, and every value may also be the marker for that. What must be given after merging is checked on reading.
    """
    schema = SheetShape.model_json_schema()
    return {"$schema": DIALECT, "title": "Sagwright sheet"} | _partial(schema, keep=("shape",))


def _partial(schema: dict[str, Any], *, keep: tuple[str, ...] = ()) -> dict[str, Any]:
    loose = {key: value for key, value in schema.items() if key not in ("required", "title")}
    if keep:
        loose["required"] = list(keep)
    if "properties" in loose:
        loose["properties"] = {key: _removable(value, kept=key in keep) for key, value in loose["properties"].items()}
    if "additionalProperties" in loose and isinstance(loose["additionalProperties"], dict):
        loose["additionalProperties"] = _removable(loose["additionalProperties"], kept=False)
    if "patternProperties" in loose:
        named = loose["patternProperties"]
        loose["patternProperties"] = {key: _removable(value, kept=False) for key, value in named.items()}
    if "$defs" in loose:
        loose["$defs"] = {name: _partial(value) for name, value in loose["$defs"].items()}
    return loose


def _removable(schema: dict[str, Any], *, kept: bool) -> dict[str, Any]:
    about = {key: schema[key] for key in ("description", "examples", "default") if key in schema}
    rest = {key: value for key, value in schema.items() if key not in (*about, "title")}
    rest = _partial(rest)
    return about | (rest if kept else {"anyOf": [rest, {"const": LEFT_OUT}]})


def sheet_schema_json() -> str:
    """The JSON Schema of sheets as JSON text with a newline at its end."""
    return dump_json(sheet_schema())


def bike_schema() -> dict[str, Any]:
    """JSON Schema, draft 2020-12, of a bike as it stands in its file. A bike extends nothing, so that what is required
    must be given."""
    schema: dict[str, Any] = _untitled(BikeShape.model_json_schema())
    return {"$schema": DIALECT, "title": "Sagwright bike"} | schema


def _untitled(part: Any) -> Any:
    """A part of a schema without the titles that only repeat a key; a property may itself be called title."""
    if isinstance(part, dict):
        return {key: _untitled(each) for key, each in part.items() if key != "title" or not isinstance(each, str)}
    return [_untitled(each) for each in part] if isinstance(part, list) else part


def bike_schema_json() -> str:
    """The JSON Schema of bikes as JSON text with a newline at its end."""
    return dump_json(bike_schema())
