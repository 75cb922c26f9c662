"""`sagwright mistakes`."""

from __future__ import annotations

import json

import pytest

from tests.support.command_line import Shell

SETUP = "chassis: mid, travel: 130 mm, volume_spacers: 1, pressure: 78 psi"
ASKED = ("mistakes", "specimen/t35", "--setup", SETUP, "--load", "330 N")


def test_every_mistake_stands_beside_how_it_should_be(shell: Shell) -> None:
    done = shell(*ASKED)
    assert done.code == 0
    for text in ("as it should be", "not cycled after filling", "valve or cap leaks", "12 h"):
        assert text in done.out


def test_json_carries_the_same_numbers(shell: Shell) -> None:
    shape = json.loads(shell(*ASKED, "--json").out)
    assert shape["shape"] == "mistakes/1"
    by_name = {one["mistake"]: one for one in shape["mistakes"]}
    right, uncycled = by_name[None], by_name["not_cycled"]
    assert right["cycled_gauge"]["value"] == pytest.approx(right["valve_gauge"]["value"])
    assert 0.18 < 1 - uncycled["cycled_gauge"]["value"] / uncycled["valve_gauge"]["value"] < 0.30
    assert len(by_name["valve"]["over_time"]) == 3


@pytest.mark.parametrize(
    "wrong",
    [
        ("mistakes", "specimen/a55", "--setup", "pressure: 150 psi", "--load", "330 N"),
        ("mistakes", "specimen/t35", "--setup", "chassis: mid", "--load", "330 N"),
        ("mistakes", "specimen/t35", "--setup", SETUP, "--load", "330 mm"),
    ],
)
def test_what_cannot_be_used_is_said(shell: Shell, wrong: tuple[str, ...]) -> None:
    done = shell(*wrong)
    assert done.code == 2
    assert "Traceback" not in done.err
