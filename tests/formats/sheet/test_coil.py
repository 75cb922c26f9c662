"""Sheets, intakes and setups of coil forks: what they say, and every way they cannot be right."""

from __future__ import annotations

import pathlib

import pytest

from sagwright.domain.intake import Surroundings
from sagwright.domain.item import Role
from sagwright.domain.setup import CoilFitting, TopOutSetting
from sagwright.domain.sheet import ChargingOrder, Sheet, TopOutSpacers
from sagwright.domain.value import Unknown
from sagwright.errors import InputError, InputErrors, SagwrightError
from sagwright.formats.intake.load import load_intake, load_intake_text
from sagwright.formats.intake.setup_text import read_setup
from sagwright.formats.sheet.load import load_sheet

EXAMPLE = pathlib.Path(__file__).parents[3] / "examples" / "shorten-c38.yaml"
GOOD = EXAMPLE.read_text("utf-8")
BASE = "shape: sheet/1\nextends: specimen/c38\n"
SHAFTS = "mechanism: {shafts: [{travel: 130 mm, most_volume_spacers: 2}, {travel: 140 mm}]}"
TOP_OUT = """\
mechanism: {travel_spacers: left out, top_out_spacers: {height: 10 mm, most: 3}}
spring: {positive: {length_bottomed: left out, length_topped_out: 240 mm}}
"""
THIN = """\
shape: sheet/1
extends: coil-fork/fixed
maker: Specimen
model: Thin
revision: 1
chassis:
  only: {longest: 120 mm, travels: [120 mm]}
coil_spring:
  coils:
    only: {rate: 8 N/mm, free_length: 345 mm}
"""


def faults_of(error: SagwrightError) -> tuple[InputError, ...]:
    if isinstance(error, InputErrors):
        return error.errors
    assert isinstance(error, InputError)
    return (error,)


def sheet_faults(tmp_path: pathlib.Path, more: str, base: str = BASE) -> list[str]:
    """Field, rule and value of every fault of the demo sheet with something more written; each with line and remedy."""
    path = tmp_path / "one.yaml"
    path.write_text(base + more, "utf-8")
    try:
        load_sheet(path)
    except (InputError, InputErrors) as error:
        found = faults_of(error)
        assert all(fault.line and fault.file for fault in found)
        return [f"{fault.field} {fault.rule}" for fault in found]
    return []


def intake_faults(written: str, instead: str) -> list[str]:
    """The same of the demo intake with something else written in it."""
    assert written in GOOD
    try:
        load_intake_text(GOOD.replace(written, instead), "one")
    except (InputError, InputErrors) as error:
        return [f"{fault.field} {fault.rule} | {fault.remedy}" for fault in faults_of(error)]
    return []


def c38() -> Sheet:
    return load_sheet("specimen/c38")


def test_the_demo_sheet_has_a_coil_and_no_air() -> None:
    sheet = c38()
    assert [coil.name for coil in sheet.coil.coils] == ["extra_soft", "soft", "medium", "firm", "extra_firm"]
    assert isinstance(sheet.mechanism, TopOutSpacers)
    assert sheet.charging == ChargingOrder(None, None, 0)
    assert not sheet.having(Role.AIR_CHARGE)
    assert len(sheet.items) >= 25


def test_a_thin_sheet_of_a_fixed_coil_fork_carries_ordinary_work(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "thin.yaml"
    path.write_text(THIN, "utf-8")
    sheet = load_sheet(path)
    assert sheet.coil.coils[0].wound is None
    assert sheet.coil.coils[0].free_length is not None
    assert not sheet.having(Role.TOP_OUT_SPACERS)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            "coil_spring: {coils: {soft: {turns: '60'}}}",
            "coil_spring.coils.soft.turns must leave it room at full travel",
        ),
        ("coil_spring: {coils: {soft: {free_length: 160 mm}}}", "coils.soft.free_length must be more than the coil is"),
        (
            "coil_spring: {coils: {soft: {free_length: 300 mm}}}",
            "coils.soft.free_length must reach its seats topped out",
        ),
        ("coil_spring: {coils: {soft: {outside: 36 mm}}}", "coils.soft.outside must be less than the bore"),
        ("coil_spring: {coils: {soft: {outside: 9 mm}}}", "coils.soft.outside must be more than two wires"),
        ("coil_spring: {coils: {soft: {outside: 18 mm}}}", "coils.soft.outside must be 3 to 20 wires across"),
        ("coil_spring: {shaft: 26 mm}\nlegs: {spring: {rod: 26 mm}}", "coils.soft.outside must go over the shaft"),
        ("coil_spring: {preload_spacers: {most: 9}}", "coil_spring.preload_spacers must leave some coil room"),
        ("coil_spring: {coils: {new: {}}}", "coil_spring.coils.new.rate must be given"),
        ("coil_spring: {coils: {new: {rate: 8 N/mm}}}", "coil_spring.coils.new.free_length must be given"),
        ("coil_spring: {coils: {new: {wire: 5 mm, turns: '30'}}}", "coils.new.outside must be given beside the others"),
        ("coil_spring: {bore: 39 mm}", "coil_spring.bore must be less than the stanchion around it"),
        ("coil_spring: {shaft: 10 mm}", "legs.spring.rod must be the spring shaft's 10 mm"),
        ("transfer_port: {opens_at: 5 mm, band: 3 mm}", "transfer_port does not belong to a coil spring"),
        ("charging: {before_lowers: none, cycles: '5'}", "charging does not belong to a coil spring"),
        ("mechanism: {top_out_spacers: {most: 1}}", "chassis.standard.travels must be the longest less 0 to 1 spacers"),
        ("mechanism: {fixed: {travel: 170 mm}}", "mechanism must have one of"),
        ("items: {spring_cap: {covered_by: [readings]}}", "items.spring_cap.covered_by must lead to preload"),
        (
            "items: {spring_retaining_ring: {covered_by: [lowers]}}",
            "items.spring_retaining_ring.covered_by must lead to coil",
        ),
        ("items: {top_out_spacers: {covered_by: [coil]}}", "top_out_spacers.covered_by must lead to spring_shaft"),
        (
            "items: {preload: {off: {hold_point: 'no'}}}",
            "items.preload.off must be a hold point with something to record",
        ),
        (
            "items: {spring_cap: {off: {cautions: []}}}",
            "spring_cap.off.cautions must be given, for a pressed",
        ),
        (
            "items: {spring_retaining_ring: {off: {cautions: []}}}",
            "items.spring_retaining_ring.off.cautions must be given",
        ),
        ("items: {spring_guide: {role: coil}}", 'items must have one item with the role "coil"'),
        (
            "items: {spring_guide: {role: air cap}}",
            "items.spring_guide.role does not belong to a unit whose spring is a",
        ),
    ],
)
def test_what_must_hold_of_a_coil(tmp_path: pathlib.Path, more: str, said: str) -> None:
    found = sheet_faults(tmp_path, more)
    assert any(said in fault for fault in found), found


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            "coil_spring: {bore: 30 mm, shaft: 10 mm, seats: 200 mm, coils: {}}",
            "spring must have one of spring and coil",
        ),
        (TOP_OUT, "needs a coil spring"),
        ("charging: left out", "charging must be given"),
        ("items: {wipers: {role: coil}}", "items.wipers.role does not belong to a unit whose spring is air"),
    ],
)
def test_what_must_hold_of_a_fork_with_air(tmp_path: pathlib.Path, more: str, said: str) -> None:
    found = sheet_faults(tmp_path, more, "shape: sheet/1\nextends: specimen/t35\n")
    assert any(said in fault for fault in found), found


def test_a_spring_is_needed(tmp_path: pathlib.Path) -> None:
    found = sheet_faults(tmp_path, "coil_spring: left out", THIN.split("coil_spring", maxsplit=1)[0])
    assert found == ["spring must have one of spring and coil_spring"]


def test_an_air_fork_with_one_shaft_still_says_its_volume_spacers(tmp_path: pathlib.Path) -> None:
    found = sheet_faults(tmp_path, SHAFTS, "shape: sheet/1\nextends: specimen/p34\n")
    assert "mechanism.shafts[2].most_volume_spacers must be given" in found


def test_the_example_is_read() -> None:
    setup = load_intake(EXAMPLE).as_found.setup
    assert setup.setting == TopOutSetting(0)
    assert setup.fitting == CoilFitting("medium", 3, 0.004)
    assert setup.charge is Unknown.NOT_MEASURED


def test_everything_inside_may_be_unknown_until_open() -> None:
    text = GOOD.replace("coil: medium ", "coil: unknown until open ")
    text = text.replace("top_out_spacers: 0", "top_out_spacers: unknown until open")
    text = text.replace("preload_spacers: 3", "preload_spacers: unknown until open")
    text = text.replace("preload_turns: 4 ", "preload_turns: not measured ")
    setup = load_intake_text(text, "one").as_found.setup
    assert setup.setting == TopOutSetting(Unknown.UNTIL_OPEN)
    assert setup.fitting == CoilFitting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED)


@pytest.mark.parametrize(
    ("written", "instead", "said"),
    [
        ("coil: medium ", "coil: mediun ", "as_found.coil must be a coil of the sheet | Did you mean medium? It has:"),
        ("  coil: medium ", "  # ", "as_found.coil must be given"),
        ("  preload_spacers: 3", "  # ", "as_found.preload_spacers must be given"),
        ("  preload_turns: 4 ", "  # ", "as_found.preload_turns must be given"),
        ("  top_out_spacers: 0", "  # ", "as_found.top_out_spacers must be given"),
        ("preload_turns: 4 ", "preload_turns: -1 ", "as_found.preload_turns must be between 0 and 60"),
        ("top_out_spacers: 0", "travel_spacers: 0\n  top_out_spacers: 0", "as_found.travel_spacers does not exist in"),
        ("top_out_spacers: 0", "air_shaft: 150 mm\n  top_out_spacers: 0", "as_found.air_shaft does not exist in"),
        (
            "coil: medium ",
            "volume_spacers: 1\n  coil: medium ",
            "as_found.volume_spacers does not exist in this family",
        ),
        ("coil: medium ", "charge: not measured\n  coil: medium ", "as_found.charge does not exist in this family"),
        ("aim: as-it-rode", "pressure: 80 psi", "wish.pressure does not exist in this family | Its spring is a coil"),
        ("aim: as-it-rode", "coil: frim", "wish.coil must be a coil of the sheet | Did you mean firm?"),
        ("aim: as-it-rode", "travel_spacers: 1", "wish.travel_spacers does not exist in this family"),
        ("specimen/c38", "specimen/t35", "as_found.coil does not exist in this family | Its spring is air"),
        ("specimen/c38", "specimen/t35", "as_found.charge must be given"),
        ("specimen/c38", "specimen/t35", "as_found.top_out_spacers does not exist in this family"),
    ],
)
def test_an_intake_that_cannot_be_is_told_by_field(written: str, instead: str, said: str) -> None:
    found = intake_faults(written, instead)
    assert any(fault.startswith(said) for fault in found), found


def test_a_setup_says_what_is_left_out_by_the_sheet() -> None:
    label, setup = read_setup("travel: 150 mm, coil: firm", c38(), around=Surroundings())
    assert label == "travel: 150 mm, coil: firm"
    assert (setup.setting, setup.fitting) == (TopOutSetting(2), CoilFitting("firm", 0, 0.0))
    _, turned = read_setup("top_out_spacers: 1, coil: firm, preload_turns: 2.5", c38(), around=Surroundings())
    assert (turned.setting, turned.fitting) == (TopOutSetting(1), CoilFitting("firm", 0, 0.0025))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("travel: 150 mm", "coil must be given"),
        ("coil: frm", "coil must be a coil of the sheet"),
        ("coil: firm, pressure: 80 psi", "pressure does not exist in this family"),
        ("coil: firm, volume_spacers: 1", "volume_spacers does not exist in this family"),
        ("coil: firm, travel: 155 mm", "travel must be the longest, 170 mm, less whole spacers of 10 mm"),
        ("coil: firm, travel: 150 mm, top_out_spacers: 2", "top_out_spacers must not stand beside travel"),
    ],
)
def test_a_setup_that_cannot_be_is_told_by_field(text: str, said: str) -> None:
    with pytest.raises((InputError, InputErrors)) as caught:
        read_setup(text, c38(), around=Surroundings())
    assert any(said in f"{fault.field} {fault.rule}" for fault in faults_of(caught.value))


def test_a_setup_with_air_has_no_coil() -> None:
    with pytest.raises(InputError, match="coil does not exist in this family"):
        read_setup("chassis: mid, pressure: 80 psi, coil: firm", load_sheet("specimen/t35"), around=Surroundings())
