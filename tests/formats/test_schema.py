"""The published schema of bike/1."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from sagwright.errors import InputError, InputErrors
from sagwright.formats.bike.load import load_bike_text
from sagwright.formats.bike.shape import BikeShape
from sagwright.formats.schema import bike_schema

ROOT = Path(__file__).parents[2]
TRAIL = ROOT / "examples" / "bikes" / "trail.yaml"
SHIPPED = [TRAIL, ROOT / "src" / "sagwright" / "formats" / "demo_bike.yaml"]


def as_strings(path: Path) -> Any:  # noqa: ANN401 - a file may hold anything
    return yaml.load(path.read_text("utf-8"), yaml.BaseLoader)


def takes(bike: object) -> bool:
    return jsonschema.Draft202012Validator(bike_schema()).is_valid(bike)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_the_schema_is_a_schema_and_takes_what_is_shipped(path: Path) -> None:
    jsonschema.Draft202012Validator.check_schema(bike_schema())
    assert takes(as_strings(path))


WRONG = {
    "another shape": ("shape", "bike/2"),
    "no name": ("name", None),
    "a key that nothing reads": ("colour", "red"),
    "a list for a value": ("mass", ["14 kg"]),
    "an origin that is none": ("origin", "hearsay"),
    "a geometry that lacks its angle": ("geometry", {"chainstay": "435 mm"}),
}


@pytest.mark.parametrize(("key", "value"), WRONG.values(), ids=WRONG)
def test_the_schema_and_the_reader_refuse_what_is_wrong(key: str, value: object) -> None:
    bike = copy.deepcopy(as_strings(TRAIL))
    bike[key] = value
    if value is None:
        del bike[key]
    assert not takes(bike)
    with pytest.raises((InputError, InputErrors), match=key):
        load_bike_text(yaml.safe_dump(bike), "bike.yaml")


def test_every_key_that_is_read_is_described_to_an_editor() -> None:
    schema = bike_schema()
    shapes = [schema, *schema["$defs"].values()]
    assert list(schema["properties"]) == list(BikeShape.model_fields)
    keys = [each for shape in shapes for each in shape.get("properties", {}).values()]
    assert all({"description", "$ref"} & each.keys() for each in keys)  # what a reference names describes itself
    assert all(shape["description"] for shape in shapes)
    assert schema["$defs"]["GeometryShape"]["properties"]["head_angle"]["examples"] == ["64.8°"]
    assert schema["title"] == "Sagwright bike"
    assert "title" not in schema["$defs"]["GeometryShape"]["properties"]["head_angle"]
