"""`sagwright coil`."""

from __future__ import annotations

import json

import pytest

from sagwright.formats.sheet.coil import MATERIALS
from sagwright.physics.coil_wire import Wire
from tests.support.command_line import Shell

ASKED = ["--load", "330 N", "--travel", "140 mm", "--sag", "20 %"]
MADE = "name: made, wire: 5 ± 0.03 mm, outside: 31 mm, turns: 22, free_length: 300 mm"


def test_every_material_is_one_that_physics_knows() -> None:
    assert set(MATERIALS.values()) == {str(wire) for wire in Wire}


def test_it_works(shell: Shell) -> None:
    answer = shell("coil", *ASKED, "--coil", "rate: 8 N/mm", "--coil", "rate: 10 N/mm", "--coil", MADE)
    assert (answer.code, answer.err) == (0, "")
    assert "NEAREST FIRST" in answer.out
    assert "left" in answer.out
    assert "MPa at full travel" in answer.out


def test_the_chosen_one_reaches_the_sag_with_the_least_preload(shell: Shell) -> None:
    # By hand: 330/10 − 28 = 5 mm; 330/8 − 28 = 13.25 mm, more than 12 mm, so 29.25 mm of sag.
    answer = shell("coil", *ASKED, "--coil", "rate: 8 N/mm", "--coil", "rate: 10 ± 0.4 N/mm", "--json")
    said = json.loads(answer.out)
    first, second = said["coils"]
    assert said["shape"] == "coil/1"
    assert first["rate"]["value"] == 10_000
    assert first["preload"]["value"] == pytest.approx(5e-3)
    assert first["sag"]["value"] == pytest.approx(28e-3)
    assert first["sag"]["u"] == pytest.approx(330 / 10e3**2 * 400 / 3**0.5)
    assert first["full_travel"]["value"] == pytest.approx(1450.0)
    assert second["sag"]["value"] == pytest.approx(29.25e-3)


def test_a_made_coil_has_its_rate_from_its_wire(shell: Shell) -> None:
    # k = G d⁴/(8 D³ Na), written out: G 79.5 GPa, d 5, D 26 mm, 20 active turns; u from the wire alone, 4 u(d)/d.
    said = json.loads(shell("coil", *ASKED, "--coil", MADE, "--json").out)["coils"][0]
    rate = 79.5e9 * 0.005**4 / (8 * 0.026**3 * 20)
    assert said["rate"]["value"] == pytest.approx(rate)
    assert said["rate"]["u"] == pytest.approx(rate * 4 * 0.03 / 3**0.5 / 5, rel=1e-3)
    assert said["reserve"]["value"] == pytest.approx(0.300 - 22 * 0.005 - 0.140 - said["preload"]["value"])


def test_a_coil_that_goes_solid_comes_last_and_says_so(shell: Shell) -> None:
    bound = MADE.replace("made", "short").replace("300 mm", "230 mm")
    answer = shell("coil", *ASKED, "--coil", bound, "--coil", "rate: 30 N/mm")
    assert "before full travel: do not fit it" in answer.out
    said = json.loads(shell("coil", *ASKED, "--coil", bound, "--coil", "rate: 30 N/mm", "--json").out)
    assert [one["bound"] for one in said["coils"]] == [False, True]


def test_a_top_out_spacer_shortens_the_travel_and_empties_the_stack(shell: Shell) -> None:
    answer = shell("coil", *ASKED, "--coil", "rate: 10 N/mm", "--shorten", "20 mm")
    assert "120 mm, 20 mm shorter" in answer.out
    assert "out of the preload stack" in " ".join(answer.out.split())
    assert "24 mm of sag" in answer.out  # 20 % of 120 mm


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (ASKED, "--coil"),
        ([*ASKED, "--coil", "rate: 8 psi"], "rate"),
        ([*ASKED, "--coil", "name: empty"], "rate"),
        ([*ASKED, "--coil", "wire: 5 mm"], "outside"),
        ([*ASKED, "--coil", "wire: 5 mm, outside: 9 mm, turns: 20, free_length: 200 mm"], "outside"),
        ([*ASKED, "--coil", "wire: 5 mm, outside: 31 mm, turns: 22, free_length: 80 mm"], "free_length"),
        ([*ASKED, "--coil", "wire: 5 mm, outside: 11 mm, turns: 22, free_length: 200 mm"], "index"),
        ([*ASKED, "--coil", MADE + ", material: cheese"], "material"),
        ([*ASKED, "--coil", "rat: 8 N/mm"], "Did you mean rate?"),
        (["--load", "330 N", "--travel", "140 mm", "--sag", "90 %", "--coil", "rate: 8 N/mm"], "--sag"),
        (["--load", "330 N", "--travel", "140 mm", "--sag", "28 N", "--coil", "rate: 8 N/mm"], "--sag"),
        (["--load", "330 N", "--travel", "140 mm", "--sag", "150 mm", "--coil", "rate: 8 N/mm"], "sag"),
        (["--load", "0 N", "--travel", "140 mm", "--sag", "20 %", "--coil", "rate: 8 N/mm"], "--load"),
        ([*ASKED, "--coil", "rate: 8 N/mm", "--least-preload", "20 mm"], "--most-preload"),
        ([*ASKED, "--coil", "rate: 8 N/mm", "--shorten", "139 mm"], "--shorten"),
    ],
)
def test_what_cannot_be_is_said_in_one_message(shell: Shell, arguments: list[str], named: str) -> None:
    answer = shell("coil", *arguments)
    assert answer.code == 2
    assert named in answer.err
    assert "Traceback" not in answer.err
