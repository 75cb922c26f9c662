"""`sagwright stance`, and what a plan says of the bike."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.support.command_line import EXAMPLES, Shell

TRAIL = EXAMPLES / "bikes" / "trail.yaml"
WITH_BIKE = EXAMPLES / "shorten-t35-bike.yaml"


def test_it_works(shell: Shell) -> None:
    answer = shell("stance", TRAIL, "--axle-to-crown", "531,541,551", "--sag-front", "20%", "--sag-rear", "28%")
    assert (answer.code, answer.err) == (0, "")
    for words in ("531 mm", "541 mm", "551 mm", "head angle", "pedal height", "wheel flop", "front sag"):
        assert words in answer.out


def test_without_options_it_stands_as_printed(shell: Shell) -> None:
    out = shell("stance", TRAIL).out
    for number in ("64.8°", "77.0°", "472 mm", "632 mm", "1237 mm"):
        assert number in out


def test_json_is_si_with_differences_from_the_first(shell: Shell) -> None:
    told = json.loads(shell("stance", TRAIL, "--axle-to-crown", "541,531", "--units", "in", "--json").out)
    assert list(told) == ["shape", "program", "bike", "stances", "differences", "findings"]
    assert told["shape"] == "stance/1"
    first, second = told["stances"]
    assert first["axle_to_crown"] == {"value": pytest.approx(0.541), "u": None}
    change = told["differences"][1]["head_angle"]["value"]
    assert change == pytest.approx(second["head_angle"]["value"] - first["head_angle"]["value"])
    assert change > 0


def test_lengths_are_read_in_the_units_written(shell: Shell) -> None:
    told = json.loads(shell("stance", TRAIL, "--axle-to-crown", "21,21.3 in", "--json").out)
    assert [one["axle_to_crown"]["value"] for one in told["stances"]] == pytest.approx([21 * 0.0254, 21.3 * 0.0254])


def test_the_side_view_is_written(shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "bike.svg"
    assert shell("stance", TRAIL, "--axle-to-crown", "531,541", "--svg", path).code == 0
    assert ET.parse(path).getroot().get("role") == "img"


def test_a_fork_over_the_longest_is_refused(shell: Shell) -> None:
    answer = shell("stance", TRAIL, "--axle-to-crown", "561")
    assert answer.code == 1
    assert "Structural" in answer.out


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--axle-to-crown", "abc"), "--axle-to-crown must be a length"),
        (("--axle-to-crown", "380"), "longer than the printed fork at full compression"),
        (("--sag-front", "20 mm"), "--sag-front must be a share"),
        (("--sag-rear", "28"), "Did you mean 28 %?"),
        (("--sag-rear", "-1 %"), "between 0 and 100 %"),
        (("--units", "furlong"), "--units"),
    ],
)
def test_an_option_that_cannot_be_used_says_so(shell: Shell, options: tuple[str, str], says: str) -> None:
    answer = shell("stance", TRAIL, *options)
    assert (answer.code, answer.out) == (2, "")
    assert says in answer.err


def test_another_kind_of_file_is_named(shell: Shell) -> None:
    answer = shell("stance", WITH_BIKE)
    assert answer.code == 2
    assert "name a bike" in answer.err


def test_a_plan_shows_the_bike_the_loads_and_the_gaps(shell: Shell) -> None:
    out = shell("plan", WITH_BIKE).out
    for words in ("WHAT IT DOES TO THE BIKE", "at sag", "technician", "tyre to crown", "Maker asked", "ISO 4210-6"):
        assert words in out


def test_a_plans_json_carries_the_stance(shell: Shell) -> None:
    told = json.loads(shell("plan", WITH_BIKE, "--json").out)["stance"]
    assert told["topped_out"]["difference"]["bb_height"]["value"] < 0
    assert {(one["side"], one["who"]) for one in told["rider_loads"]} == {
        (side, who) for side in ("as found", "target") for who in ("rider", "technician")
    }
    assert told["clearance"][0]["place"] == "crown"


def test_a_plans_drawings_are_written(shell: Shell, tmp_path: Path) -> None:
    side, cut = tmp_path / "side.svg", tmp_path / "cut.svg"
    assert shell("plan", WITH_BIKE, "--side-view", side, "--cutaway", cut).code == 0
    for path in (side, cut):
        title = ET.parse(path).getroot().findtext("{http://www.w3.org/2000/svg}title") or ""
        assert "as found, target" in title


def test_a_side_view_without_a_bike_says_what_is_missing(shell: Shell, tmp_path: Path) -> None:
    answer = shell("plan", EXAMPLES / "shorten-t35.yaml", "--side-view", tmp_path / "side.svg")
    assert answer.code == 2
    assert "Write bike into the intake." in answer.err
    assert not list(tmp_path.iterdir())
