"""What `import sagwright` gives, and what it costs."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

import sagwright
from tests.support.command_line import SHORTEN

NAMES = [
    "__version__",
    "curve",
    "load_bike",
    "load_intake",
    "load_sheet",
    "plan",
    "read_task",
    "replan",
    "sequence",
    "stance",
    "to_json",
]


def test_the_names_are_pinned() -> None:
    assert sagwright.__all__ == NAMES
    assert set(NAMES) <= set(dir(sagwright))


def test_from_file_to_json() -> None:
    intake = sagwright.load_intake(SHORTEN)
    plan = sagwright.plan(intake)
    assert json.loads(sagwright.to_json(plan))["shape"] == "plan/1"
    assert sagwright.load_sheet("specimen/t35") == intake.sheet


@pytest.mark.parametrize("name", [name for name in NAMES if name != "__version__"])
def test_every_name_is_loaded_once(name: str) -> None:
    assert getattr(sagwright, name) is getattr(sagwright, name)


def test_another_name_is_an_ordinary_attribute_error() -> None:
    with pytest.raises(AttributeError, match="module 'sagwright' has no attribute 'plot'"):
        _ = sagwright.plot


def test_nothing_heavy_is_loaded_until_a_name_is_used() -> None:
    code = (
        "import sys, sagwright; heavy = lambda: {'numpy', 'pydantic', 'yaml', 'click'} & set(sys.modules);"
        "dir(sagwright); sagwright.__version__; assert not heavy(), heavy();"
        "sagwright.load_sheet; assert 'pydantic' in heavy() and 'numpy' not in heavy(), heavy();"
        "sagwright.plan; assert 'numpy' in heavy() and 'click' not in heavy(), heavy()"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
