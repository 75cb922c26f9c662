"""Sheets: values with their origin and tolerance, inheritance, cross-checks, the published schema."""

from __future__ import annotations

import math
import pathlib
from typing import Any

import jsonschema
import pytest
import yaml

from sagwright.domain.item import Act, ChargeStage, Hand, Role, Signal, ThreadState
from sagwright.domain.sheet import ShaftPerTravel, SpacerStack
from sagwright.domain.value import Origin
from sagwright.errors import InputError, InputErrors
from sagwright.formats.schema import sheet_schema
from sagwright.formats.sheet.catalogue import shipped_bases, shipped_sheets
from sagwright.formats.sheet.load import load_sheet
from tests.support.written import THIN

DATA = pathlib.Path(__file__).parents[3] / "src" / "sagwright" / "formats" / "data"


def written(tmp_path: pathlib.Path, text: str, name: str = "one.yaml") -> pathlib.Path:
    path = tmp_path / name
    path.write_text(text, "utf-8")
    return path


def faults(tmp_path: pathlib.Path, more: str) -> list[str]:
    """Field and rule of every fault of the thin sheet with something more written."""
    path = written(tmp_path, THIN + more)
    try:
        load_sheet(path)
    except InputErrors as several:
        return [f"{fault.field} {fault.rule}" for fault in several.errors]
    except InputError as fault:
        return [f"{fault.field} {fault.rule}"]
    return []


def test_what_is_shipped() -> None:
    assert tuple(name.removeprefix("specimen/") for name in shipped_sheets()) == (
        "a55",
        "b38",
        "c38",
        "n32",
        "p34",
        "s38",
        "t35",
        "v34",
    )
    mechanisms = {"air-fork/spacer-stack", "air-fork/shaft-per-travel", "air-fork/fixed"}
    coils = {"coil-fork", "coil-fork/top-out-spacer", "coil-fork/fixed"}
    assert set(shipped_bases()) == {"fork", "air-fork", "rear-air-shock", *mechanisms, *coils}


def test_the_stack_fork_has_three_chassis_and_the_other_one_shaft_per_travel() -> None:
    stack, shafts = load_sheet("specimen/t35"), load_sheet("specimen/p34")
    assert isinstance(stack.mechanism, SpacerStack)
    assert [chassis.name for chassis in stack.chassis] == ["short", "mid", "long"]
    assert isinstance(shafts.mechanism, ShaftPerTravel)
    assert {shaft.travel.si for shaft in shafts.mechanism.shafts} == set(shafts.chassis[0].travels)


def test_a_value_keeps_si_tolerance_origin_and_text() -> None:
    bore = load_sheet("specimen/t35").air.bore
    assert bore.si == pytest.approx(0.0318)
    # JCGM 100:2008 4.3.7: a tolerance is the half-width of a rectangular distribution.
    assert bore.u == pytest.approx(0.03e-3 / math.sqrt(3))
    assert (bore.origin, bore.as_written) == (Origin.MEASURED, "31.8 ± 0.03 mm, measured")


def test_an_inherited_value_keeps_the_origin_of_its_own_file(tmp_path: pathlib.Path) -> None:
    sheet = load_sheet(written(tmp_path, "origin: maker's manual\n" + THIN + "spring: {shaft: 10 mm}\n"))
    assert sheet.air.shaft.origin is Origin.MANUAL
    assert sheet.air.bore.origin is Origin.TYPICAL


def test_a_thin_sheet_carries_everything_its_base_has(tmp_path: pathlib.Path) -> None:
    sheet = load_sheet(written(tmp_path, THIN))
    assert sheet.base == "air-fork/spacer-stack"
    cap = sheet.item("air_cap").work(Act.ON)
    assert cap is not None
    assert cap.torque is not None
    assert (cap.torque.value, cap.torque.state) == (None, ThreadState.GREASED)


def test_maps_merge_lists_are_replaced_and_a_marker_removes(tmp_path: pathlib.Path) -> None:
    more = """\
items:
  air_cap:
    on: {tools: [spanner 20 mm]}
  wipers: left out
  foam_rings: left out
  upper_bushings: left out
  lower_bushings: left out
"""
    sheet = load_sheet(written(tmp_path, THIN + more))
    cap = sheet.item("air_cap").work(Act.ON)
    assert cap is not None
    assert [tool.name for tool in cap.tools] == ["spanner"]
    assert cap.fluid is not None
    assert "wipers" not in {item.key for item in sheet.items}


def test_an_error_cites_the_file_that_wrote_the_value(tmp_path: pathlib.Path) -> None:
    below = written(tmp_path, THIN.replace("longest: 150 mm", "longest: 15 mm"), "below.yaml")
    above = written(tmp_path, "shape: sheet/1\nextends: below.yaml\nmodel: Above\n", "above.yaml")
    with pytest.raises(InputError) as caught:
        load_sheet(above)
    assert (caught.value.file, caught.value.line) == (str(below), 7)


def test_a_ring_of_sheets_is_refused(tmp_path: pathlib.Path) -> None:
    written(tmp_path, THIN.replace("air-fork/spacer-stack", "b.yaml"), "a.yaml")
    written(tmp_path, THIN.replace("air-fork/spacer-stack", "a.yaml"), "b.yaml")
    with pytest.raises(InputError, match="must not lead back to itself"):
        load_sheet(tmp_path / "a.yaml")


def test_leaving_out_what_is_not_there_is_refused(tmp_path: pathlib.Path) -> None:
    assert faults(tmp_path, "items: {air_cpa: left out}\n") == [
        "items.air_cpa cannot be left out, for nothing is inherited under that key"
    ]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("spring: {shaft: 40 mm}\n", "spring.shaft must be less than the bore"),
        ("spring: {bore: 36 mm}\n", "spring.bore must be less than the stanchion around it"),
        ("legs: {spring: {rod: 12 mm}}\n", "legs.spring.rod must be the air shaft's 10 mm"),
        ("transfer_port: {positions: 3}\n", "transfer_port.positions must be 1 where it cannot be moved, or 5"),
        ("transfer_port: {opens_at: 150 mm}\n", "transfer_port.opens_at must open within the shortest travel"),
        ("spring: {positive: {volume_spacer: 60 ml}}\n", "spring.positive must keep a volume bottomed out"),
        ("legs: {damper: {lower_leg_oil: 90 ml}}\n", "legs.damper.air_bottomed must be more than the lower-leg oil"),
        (
            "charging: {before_lowers: assembly}\n",
            "charging.assembly_pressure must be given where an assembly pressure",
        ),
        (
            "charging: {before_lowers: riding, assembly_pressure: 300 psi}\n",
            "charging.assembly_pressure must not exceed",
        ),
        ("items: {lowers: {covered_by: [lower_leg_oil]}}\n", "items.lowers.covered_by[1] must be the key of an item"),
        ("items: {air_charge: {covered_by: [air_retaining_ring]}}\n", "must not lead back to the item itself"),
        ("items: {air_retaining_ring: {role: knob}}\n", 'items must have one item with the role "retaining ring"'),
        ("items: {lowers: {role: retaining ring}}\n", 'items must have one item with the role "lowers"'),
        (
            "items: {air_retaining_ring: {check: left out}}\n",
            'items.air_retaining_ring must say "check", because it is the retaining ring',
        ),
        ("items: {lowers: {leg: left}}\n", "items.lowers.leg must be a leg of this sheet"),
        (
            "items: {spring_lower_leg_oil: {leg: left out}}\n",
            "items.spring_lower_leg_oil.leg must be given for a lower-leg oil",
        ),
        ("mechanism: {travel_spacers: {most: 3}}\n", "chassis.only.travels must be the longest less 0 to 3 spacers"),
        ("mechanism: {shafts: [{travel: 100 mm, most_volume_spacers: 2}]}\n", "mechanism must have one of"),
        ("notices: [{warning: Hot., notice: Cold.}]\n", "notices[1] must have one signal word"),
        ("items: {air_cap: {on: {torque: 24 N·m}}}\n", "items.air_cap.on.torque"),
        ("items: {air_cap: {on: {torque: 24 mm greased}}}\n", "items.air_cap.on.torque"),
    ],
)
def test_what_must_hold_between_values(tmp_path: pathlib.Path, more: str, said: str) -> None:
    assert any(said in fault for fault in faults(tmp_path, more)), faults(tmp_path, more)


def test_longer_travels_than_the_longest_are_refused(tmp_path: pathlib.Path) -> None:
    path = written(tmp_path, THIN.replace("110..150 mm", "110..160 mm"))
    with pytest.raises(InputError, match="must not exceed the longest travel, 150 mm"):
        load_sheet(path)


def test_every_item_says_what_a_sequence_needs() -> None:
    for name in shipped_sheets():
        sheet = load_sheet(name)
        for item in sheet.items:
            for _, work in item.works:
                assert work.minutes.si > 0
                assert work.minutes.u is not None, item.key
                assert work.position
                assert work.do.endswith(".")


def test_thread_hand_state_waiting_and_unknown_torques_are_read() -> None:
    sheet = load_sheet("specimen/p34")
    bolt = sheet.item("damper_foot_fastener").work(Act.ON)
    assert bolt is not None
    assert bolt.torque is not None
    assert (bolt.torque.hand, bolt.torque.state) == (Hand.LEFT, ThreadState.COMPOUND)
    assert bolt.waiting is not None
    assert bolt.waiting.si == 1800


def test_the_charge_before_the_lowers_is_as_written() -> None:
    assert load_sheet("specimen/t35").charging.before_lowers is ChargeStage.ASSEMBLY
    assert load_sheet("specimen/p34").charging.before_lowers is None


def test_cautions_carry_their_signal_word() -> None:
    prove = load_sheet("specimen/t35").item("air_retaining_ring").work(Act.CHECK)
    assert prove is not None
    assert prove.cautions[0].signal is Signal.DANGER


def test_every_role_is_played() -> None:
    played = {item.role for name in shipped_sheets() for item in load_sheet(name).items}
    assert played >= set(Role)


def as_strings(path: pathlib.Path) -> Any:  # noqa: ANN401 - a file may hold anything
    return yaml.load(path.read_text("utf-8"), yaml.BaseLoader)


def test_the_schema_is_a_schema_and_takes_what_is_shipped() -> None:
    jsonschema.Draft202012Validator.check_schema(sheet_schema())
    validator = jsonschema.Draft202012Validator(sheet_schema())
    paths = sorted(path for path in DATA.rglob("*.yaml") if path.parent.name != "demo")
    assert len(paths) == 17
    for path in paths:
        assert list(validator.iter_errors(as_strings(path))) == [], path


@pytest.mark.parametrize(
    "wrong",
    [
        {"shape": "sheet/2"},
        {"shape": "sheet/1", "maken": "Specimen"},
        {"shape": "sheet/1", "spring": {"bore": {"of": "1 mm"}}},
        {"shape": "sheet/1", "items": {"cap": {"role": "hat"}}},
        {},
    ],
)
def test_the_schema_refuses_what_is_wrong(wrong: dict[str, object]) -> None:
    assert not jsonschema.Draft202012Validator(sheet_schema()).is_valid(wrong)


def test_the_schema_helps_an_editor() -> None:
    bore = sheet_schema()["$defs"]["SpringShape"]["properties"]["bore"]
    assert bore["description"] == "Inside diameter of the tube."
    assert bore["examples"] == ["31.8 ± 0.03 mm, measured"]
