"""A sheet whose items could be worked on in a way that hurts someone is refused, with the line that says so."""

from __future__ import annotations

import pathlib

import pytest

from sagwright.domain.item import Item, Role
from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError, InputErrors
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.checks.items import COVERED, ITEM_CHECKS
from sagwright.formats.sheet.load import load_sheet

BASE = "shape: sheet/1\nextends: specimen/t35\n"
LINE = 3  # of what is written on top of it


def faults(tmp_path: pathlib.Path, more: str) -> tuple[InputError, ...]:
    """Every fault of the demo sheet with one more line."""
    path = tmp_path / "one.yaml"
    path.write_text(BASE + more, "utf-8")
    try:
        load_sheet(path)
    except InputErrors as several:
        return several.errors
    except InputError as fault:
        return (fault,)
    return ()


def test_shipped_items_hold() -> None:
    for name in shipped_sheets():
        sheet = load_sheet(name)
        assert [fault for check in ITEM_CHECKS for fault in check(sheet)] == []


@pytest.mark.parametrize(
    ("more", "field", "said"),
    [
        ("items: {air_cap: {covered_by: [readings]}}", "air_cap.covered_by", "must lead to air_charge"),
        (
            "items: {air_retaining_ring: {covered_by: [air_charge]}}",
            "air_retaining_ring.covered_by",
            "must lead to lowers",
        ),
        ("items: {air_shaft: {covered_by: [air_charge]}}", "air_shaft.covered_by", "must lead to air_retaining_ring"),
        ("items: {travel_spacers: {covered_by: [lowers]}}", "travel_spacers.covered_by", "must lead to air_shaft"),
        ("items: {lowers: {covered_by: [spring_lower_leg_oil]}}", "lowers.covered_by", "must lead to damper_foot_seat"),
        (
            "items: {spring_foot_fastener: {covered_by: [adjusters]}}",
            "spring_foot_fastener.covered_by",
            "must lead to air_charge",
        ),
        (
            "items: {spring_foot_seat: {covered_by: [damper_foot_fastener]}}",
            "spring_foot_seat.covered_by",
            "must lead to spring_foot_fastener",
        ),
        ("items: {lowers: {after: [adjusters]}}", "lowers.after", "must not ask for an order that cannot be"),
        ("items: {lowers: {after: [lowers]}}", "lowers.after", "must not ask for an order that cannot be"),
        ("items: {adjusters: {on: left out}}", "adjusters", 'must say "on", because it comes off'),
        ("items: {air_charge: {renew: [valve core]}}", "air_charge.renew", "cannot be renewed where nothing goes on"),
        (
            "items: {transfer_port: {criteria: {bent: {look_for: Bends., limit: none, otherwise: renew}}}}",
            "transfer_port.criteria",
            "cannot be looked at where nothing comes off",
        ),
        (
            "items: {spring_foot_fastener: {on: {torque: left out}}}",
            "spring_foot_fastener.on.torque",
            "must be given, for it carries the wheel",
        ),
        (
            "items: {air_cap: {on: {torque: 20 N·m threadlocker}}}",
            "air_cap.on.waiting",
            "must be given beside threadlocker",
        ),
        (
            "items: {air_charge: {off: {hold_point: no}}}",
            "air_charge.off",
            "must be a hold point with something to record",
        ),
        (
            "items: {air_retaining_ring: {check: {record: left out}}}",
            "air_retaining_ring.check",
            "must be a hold point with something to record",
        ),
        (
            "items: {air_cap: {off: {record: {pressure_found: {what: Pressure.}}}}}",
            "air_cap.off.record.pressure_found",
            "is recorded in readings.off already",
        ),
        (
            "items: {air_cap: {off: {record: {found_spacers: {what: Spacers.}}}}}",
            "air_cap.off.record.found_spacers",
            "is a key that plans use themselves",
        ),
        (
            "items: {spring_lower_leg_oil: {on: {fluid: left out}}}",
            "spring_lower_leg_oil.on.fluid",
            "must be given, for it is a fill",
        ),
        (
            "items: {spring_lower_leg_oil: {on: {fluid: {amount: 5 ml}}}}",
            "spring_lower_leg_oil.on.fluid.amount",
            "stands with the leg",
        ),
    ],
)
def test_what_could_hurt_is_refused_with_its_line(tmp_path: pathlib.Path, more: str, field: str, said: str) -> None:
    found = [fault for fault in faults(tmp_path, more) if fault.field == f"items.{field}"]
    assert len(found) == 1
    assert found[0].rule.startswith(said)
    assert found[0].line == LINE
    assert found[0].file == str(tmp_path / "one.yaml")
    assert found[0].remedy


@pytest.mark.parametrize(
    "more", ["legs: {damper: {lower_leg_oil: 0 ml}}", "items: {damper_lower_leg_oil: {leg: spring}}"]
)
def test_lower_leg_oil_and_its_items_belong_together(tmp_path: pathlib.Path, more: str) -> None:
    assert "legs.damper.lower_leg_oil" in {fault.field for fault in faults(tmp_path, more)}


def test_a_cover_of_a_cover_is_a_cover(tmp_path: pathlib.Path) -> None:
    assert faults(tmp_path, "items: {air_retaining_ring: {covered_by: [lowers]}}") == ()


def test_an_extra_order_that_can_be_is_taken(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "one.yaml"
    path.write_text(f"{BASE}items: {{damper_foot_fastener: {{after: [spring_foot_fastener]}}}}", "utf-8")
    assert load_sheet(path).item("damper_foot_fastener").after == ("spring_foot_fastener",)


def over(sheet: Sheet, item: Item) -> set[str]:
    """What covers an item, told apart from the code under test by recursion."""
    direct = [sheet.item(key) for key in item.covered_by]
    return {one.key for one in direct} | {key for one in direct for key in over(sheet, one)}


def test_the_rules_name_covers_that_the_demo_sheets_have() -> None:
    for name in shipped_sheets():
        sheet = load_sheet(name)
        for role, others in COVERED.items():
            for item in sheet.having(role):
                assert over(sheet, item) >= {one.key for other in others for one in sheet.having(other)}
        assert sheet.having(Role.RETAINING_RING) or sheet.base == "rear-air-shock"
