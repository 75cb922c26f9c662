"""How deep the shipped base sheets go: items with all that a workshop needs of them. Common practice, no source."""

from __future__ import annotations

import pytest

from sagwright.domain.item import Act, ChargeStage, Item, Role, ThreadState, Verdict
from sagwright.domain.sheet import Sheet
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet

SHEETS = {name: load_sheet(name) for name in shipped_sheets()}
AIR = {name: sheet for name, sheet in SHEETS.items() if sheet.having(Role.AIR_CHARGE)}
ITEMS = {item.key: item for sheet in AIR.values() for item in sheet.items}
WORKS = [(item, act, work) for sheet in SHEETS.values() for item in sheet.items for act, work in item.works]
NOT_OPENED = {"damper_gas", "damper"}


def test_the_air_forks_and_the_shock_have_seventy_items() -> None:
    assert len(ITEMS) >= 70
    assert len({item.name for item in ITEMS.values()}) >= 70


def test_all_bases_together_have_ninety() -> None:
    assert len({item.key for sheet in SHEETS.values() for item in sheet.items}) >= 90


def test_every_item_is_worked_on_unless_it_is_sent_out() -> None:
    assert {item.key for item in SHEETS["specimen/a55"].items if not item.works} == NOT_OPENED
    assert all(item.works for name, sheet in SHEETS.items() if name != "specimen/a55" for item in sheet.items)


def test_every_work_takes_time_says_how_and_in_which_position() -> None:
    for item, act, work in WORKS:
        where = f"{item.key} {act}"
        assert 6.0 <= work.minutes.si <= 1800.0, where
        assert work.minutes.u, where
        assert work.position, where
        assert len(work.do) > 20, where
        assert work.do.endswith("."), where


def test_items_carry_tools_torques_cautions_criteria_and_records() -> None:
    """Counts over what is shipped, so that depth is not lost unseen."""
    works = [work for item in ITEMS.values() for _, work in item.works]
    assert sum(bool(work.tools) for work in works) >= 100
    assert sum(work.torque is not None for work in works) >= 20
    assert sum(bool(work.cautions) for work in works) >= 30
    assert sum(len(work.records) for work in works) >= 60
    assert sum(len(item.inspect) for item in ITEMS.values()) >= 50
    assert sum(len(item.renew) for item in ITEMS.values()) >= 20


def test_every_torque_has_its_thread_state_and_is_within_what_such_a_thread_takes() -> None:
    for item, act, work in WORKS:
        if work.torque is None or work.torque.value is None:
            continue
        assert 0.2 <= work.torque.value.si <= 50.0, f"{item.key} {act}"


def test_load_bearing_findings_end_in_a_verdict() -> None:
    ends = {one.key: one.verdict for item in ITEMS.values() for one in item.inspect}
    for key in ("castings", "coating", "axle_true", "steerer", "crown_joint", "hose_chafe", "yoke", "rotor_wear"):
        assert ends[key] in (Verdict.REFUSE, Verdict.SCRAP, Verdict.DO_NOT_RIDE), key
    assert set(ends.values()) == set(Verdict)


def foot(sheet: Sheet) -> str:
    """What seals and what holds the foot of the spring leg, as it is written."""
    (fastener,) = (item for item in sheet.having(Role.FOOT_FASTENER) if item.leg == "spring")
    return f"{fastener.name} {fastener.renew[0].name}"


def held_by(sheet: Sheet) -> Item:
    return sheet.having(Role.RETAINING_RING)[0]


VARIANTS = {
    "nut on a stud": lambda sheet: "nut" in foot(sheet),
    "bolt into the shaft": lambda sheet: "bolt" in foot(sheet),
    "taper seat": lambda sheet: "taper" in on_seat(sheet),
    "plain seat": lambda sheet: "taper" not in on_seat(sheet),
    "retaining ring": lambda sheet: "ring" in held_by(sheet).name,
    "threaded seal head": lambda sheet: held_by(sheet).name == "threaded seal head",
    "crush washer": lambda sheet: "washer" in foot(sheet),
    "o-ring": lambda sheet: "o-ring" in foot(sheet),
    "bonded seal": lambda sheet: "bonded" in foot(sheet),
    "no charge before the lowers": lambda sheet: sheet.charging.before_lowers is None,
    "assembly pressure before the lowers": lambda sheet: sheet.charging.before_lowers is ChargeStage.ASSEMBLY,
    "riding pressure before the lowers": lambda sheet: sheet.charging.before_lowers is ChargeStage.RIDING,
    "open bath": lambda sheet: any(leg.lower_leg_oil.si == 0.0 for leg in sheet.legs),
    "left-hand thread": lambda sheet: "left-hand" in " ".join(one.text for one in sheet.notices),
    "threadlocker": lambda sheet: any(
        work.torque and work.torque.state is ThreadState.COMPOUND for item in sheet.items for _, work in item.works
    ),
}


def on_seat(sheet: Sheet) -> str:
    (seat,) = (item for item in sheet.having(Role.FOOT_SEAT) if item.leg == "spring")
    work = seat.work(Act.ON)
    return "" if work is None else work.do


@pytest.mark.parametrize("variant", VARIANTS)
def test_a_demo_fork_shows_every_variant(variant: str) -> None:
    forks = [name for name, sheet in AIR.items() if sheet.legs and VARIANTS[variant](sheet)]
    assert forks
    assert len(forks) < len([sheet for sheet in AIR.values() if sheet.legs])
