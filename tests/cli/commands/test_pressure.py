"""`sagwright pressure`."""

from __future__ import annotations

import json

import pytest

from tests.support.command_line import Shell

PSI = 6894.757293168


def test_it_works(shell: Shell) -> None:
    answer = shell("pressure", "78 psi", "--hose", "3 ml", "--chamber", "190 ml", "--there", "5 °C")
    assert (answer.code, answer.err) == (0, "")
    assert "79.2 psi ± 1.1 was in the chamber" in answer.out  # 78 + 78·3/190, by hand
    assert "that is no leak" in answer.out


def test_a_dial_is_known_less_well_and_every_answer_says_how_well(shell: Shell) -> None:
    line = ("pressure", "78 psi", "--hose", "3 ml", "--chamber", "190 ml", "--there", "5 °C", "--json")
    digital, dial = (json.loads(shell(*line, *more).out) for more in ((), ("--dial",)))
    assert (digital["gauge"], dial["gauge"]) == ("digital", "dial")
    for name in (
        "absolute_abs",
        "before_gauge",
        "reconnected_gauge",
        "taken",
        "there_gauge",
        "set_here_gauge",
        "per_kelvin",
    ):
        assert 0 < digital[name]["u"] <= dial[name]["u"] * (1 + 1e-9)
    assert dial["before_gauge"]["u"] > 2 * digital["before_gauge"]["u"]


def test_a_hundred_psi_reads_more_on_a_mountain(shell: Shell) -> None:
    # ISO 2533, closed form, at 2500 m: 103.864 psi at geopotential height; a map's metres differ by 0.001
    # psi.
    answer = shell("pressure", "100 psi", "--there-altitude", "2500 m", "--json")
    said = json.loads(answer.out)
    assert said["shape"] == "pressure/1"
    assert said["there_gauge"]["value"] / PSI == pytest.approx(103.864, abs=2e-3)
    assert said["there"]["ambient_abs"]["value"] == pytest.approx(74_691.8, rel=1e-5)


def test_there_and_back(shell: Shell) -> None:
    places = ["--here", "20 °C", "--here-altitude", "600 m", "--there", "-5 °C", "--there-air", "800 hPa"]
    there = json.loads(shell("pressure", "6 bar", *places, "--json").out)
    back = json.loads(shell("pressure", f"{there['set_here_gauge']['value'] / 1e5:.9f} bar", *places, "--json").out)
    assert back["there_gauge"]["value"] == pytest.approx(6e5, abs=1.0)


def test_nothing_is_said_of_a_pump_or_a_place_that_is_not_named(shell: Shell) -> None:
    answer = shell("pressure", "78 psi", "--units", "bar")
    assert "THE PUMP" not in answer.out
    assert "RIDE IT THERE" not in answer.out
    assert "5.378 bar" in answer.out


def test_a_sealed_gauge_reads_the_same_on_a_mountain(shell: Shell) -> None:
    said = json.loads(shell("pressure", "100 psi", "--sealed", "--there-altitude", "2500 m", "--json").out)
    assert said["there_gauge"]["value"] == pytest.approx(100 * PSI)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (["78 mm"], "READING"),
        (["seventy"], "READING"),
        (["-20 bar"], "No such option"),
        (["--", "-20 bar"], "READING"),
        (["500 bar"], "READING"),
        (["78 psi", "--there-altitude", "80 km"], "--there-altitude"),
        (["78 psi", "--there-altitude", "80000 m"], "--there-altitude"),
        (["78 psi", "--here", "-300 °C"], "--here"),
        (["78 psi", "--there", "90 °C"], "--there"),
        (["78 psi", "--here-air", "3 hPa"], "--here-air"),
        (["78 psi", "--here-air", "1000 hPa", "--here-altitude", "3 m"], "--here-altitude"),
        (["78 psi", "--hose", "3 ml"], "--chamber"),
        (["78 psi", "--chamber", "190 ml"], "--hose"),
        (["78 psi", "--hose", "0 ml", "--chamber", "190 ml"], "--hose"),
        (["--here-air", "500 hPa", "--", "-0.9 bar"], "vacuum"),
    ],
)
def test_what_cannot_be_is_said_in_one_message(shell: Shell, arguments: list[str], named: str) -> None:
    answer = shell("pressure", *arguments)
    assert answer.code == 2
    assert named in answer.err
    assert "Traceback" not in answer.err
