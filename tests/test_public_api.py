"""The public names of the package: few, pinned, lazy."""

from __future__ import annotations

import json
import pathlib
import subprocess
import sys

import pytest

import sagwright

EXAMPLE = pathlib.Path(__file__).parents[1] / "examples" / "shorten-t35.yaml"


def test_the_names_are_pinned() -> None:
    assert sagwright.__all__ == ["__version__", "load_intake", "load_sheet", "plan", "to_json"]
    assert set(sagwright.__all__) <= set(dir(sagwright))


def test_from_a_file_to_json() -> None:
    plan = sagwright.plan(sagwright.load_intake(EXAMPLE))
    assert json.loads(sagwright.to_json(plan))["shape"] == "plan/1"
    assert sagwright.load_sheet("specimen/p34").model == "P34"


def test_a_name_there_is_not_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'replan'"):
        _ = sagwright.replan


def test_importing_it_loads_nothing_heavy() -> None:
    code = "import sys, sagwright; print(*sorted({'numpy', 'pydantic', 'yaml', 'click'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
