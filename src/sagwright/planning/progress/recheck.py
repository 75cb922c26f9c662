"""Steps that no task asks for: a break, what is checked again after it, and the verdict that ends the work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from sagwright.domain.item import CHARGES, Act, Caution, Item, Record, Role, Signal, ThreadState, Torque
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step, WorkStop
from sagwright.domain.value import Quantity, Value

RECHECK: Final = "again"
"""What marks a step that proves something a second time."""

RECHECK_RULE: Final = "rechecked"

RECHECK_INSPECTION: Final = Value(60.0)
"""Time to prove one torque or one charge again [s]; common practice, no source."""


def break_step(sheet: Sheet, number: int) -> Step:
    """The work rests: what is hung on the unit and written down before anyone leaves it. `number` counts from 1."""
    readings = sheet.having(Role.READINGS)[0]
    return Step(
        key=f"{Act.BREAK}:{number}",
        act=Act.BREAK,
        item=readings.key,
        name="break",
        do=(
            'Hang the tag "not rideable" on the unit, with the job, the last step that is done, and whether it is '
            "charged. Lay what is off into its numbered tray, and leave no ring, cap or seal head half home."
        ),
        position="",
        minutes=RECHECK_INSPECTION,
        hold_point=True,
        records=(Record(f"not_rideable_{number}", 'The tag "not rideable" hangs on it.'),),
        rules=("tagged",),
    )


def rechecks(sheet: Sheet, done: Sequence[Step], number: int) -> Iterator[Step]:
    """Its charge, its preload and every torque that was done, checked again after the break of that number."""
    if not any(step.act is not Act.BREAK for step in done):
        return
    for item in (one for role in CHARGES for one in sheet.having(role)):
        yield _air_again(item, done, number)
    yield from (_preload_again(item, done, number) for item in sheet.having(Role.PRELOAD))
    for item_key, step in _tightened(done).items():
        yield _torque_again(step, sheet.item(item_key), number, closed_in=_closed_in(sheet, done, step))


def _tightened(done: Sequence[Step]) -> dict[str, Step]:
    """The last torque done on each item that was not taken off since."""
    found: dict[str, Step] = {}
    for step in done:
        if step.act is Act.OFF:
            found.pop(step.item, None)
        elif step.torque is not None and step.act in (Act.ON, Act.CHANGE):
            found[step.item] = step
    return found


def _closed_in(sheet: Sheet, done: Sequence[Step], step: Step) -> bool:
    """Whether something that covers it was put on since."""
    covers = set(sheet.item(step.item).covered_by)
    later = done[list(done).index(step) + 1 :]
    return any(one.act is Act.ON and one.item in covers for one in later)


def _key(number: int, item: Item) -> str:
    return f"{Act.MEASURE}:{RECHECK}{number if number > 1 else ''}:{item.key}"


def _last(item: Item, done: Sequence[Step]) -> Step | None:
    """What was last done to an item; a look at it is nothing done."""
    return next((step for step in reversed(done) if step.item == item.key and step.act is not Act.MEASURE), None)


def _position(item: Item) -> str:
    """How the unit stands while an item comes off."""
    off = item.work(Act.OFF)
    return "" if off is None else off.position


_TAG: Final = 'Check that the tag "not rideable" still hangs on it. By the log the'


_EMPTY: Final = "empty"


def _preload_again(item: Item, done: Sequence[Step], number: int) -> Step:
    last = _last(item, done)
    state = "as it was found" if last is None else "backed off" if last.act is Act.OFF else "turned in as planned"
    do = (
        f"{_TAG} {item.name} is {state}. Check it: with the fork free of load, count the turns out to its outer stop "
        "and turn it in again by the same number. Backed off, it is at that stop already and turns no further."
    )
    unseen = (
        "Nobody can see whether a coil is pressed, and no gauge shows it. Its cap comes off only with the preload "
        "backed off."
    )
    return _stored_again(item, number, do, unseen=unseen, records=(_as_logged(item, number, state),))


def _air_again(item: Item, done: Sequence[Step], number: int) -> Step:
    last = _last(item, done)
    state = "as it was found" if last is None else "charged" if last.act is not Act.OFF else _EMPTY
    do = f"{_TAG} unit is {state}. Check it: read the pressure and write it down."
    if state == _EMPTY:
        do += (
            " Then hold the valve core open and check once more that it moves both ways over its whole travel and "
            "stays where it is put."
        )
    pressure = f"pressure_again_{item.key}_{number}"
    read = Record(pressure, "Gauge pressure before the work goes on.", Quantity.PRESSURE)
    unseen = "Nobody can see whether a unit is charged. Stay out of line with its ends."
    again = _stored_again(item, number, do, unseen=unseen, records=(read, _as_logged(item, number, state)))
    off = item.work(Act.OFF)
    return again if off is None else replace(again, tools=off.tools)


def _as_logged(item: Item, number: int, state: str) -> Record:
    return Record(f"state_again_{item.key}_{number}", f"It is {state}, as the log says.")


def _stored_again(item: Item, number: int, do: str, *, unseen: str, records: tuple[Record, ...]) -> Step:
    """The look at what stores energy: a hold point, with what nobody can see above it."""
    return Step(
        key=_key(number, item),
        act=Act.MEASURE,
        item=item.key,
        name=item.name,
        do=do,
        position=_position(item),
        minutes=RECHECK_INSPECTION,
        cautions=(Caution(Signal.WARNING, unseen),),
        hold_point=True,
        records=records,
        rules=(RECHECK_RULE,),
    )


def _torque_again(done: Step, item: Item, number: int, *, closed_in: bool) -> Step:
    cured = done.torque is not None and done.torque.state is ThreadState.COMPOUND
    return Step(
        key=_key(number, item),
        act=Act.MEASURE,
        item=item.key,
        name=item.name,
        do=_how_again(cured=cured, closed_in=closed_in),
        position=done.position,
        minutes=RECHECK_INSPECTION,
        tools=() if cured or closed_in else done.tools,
        torque=_torque_shown(done.torque, cured=cured),
        hold_point=True,
        records=(Record(f"holds_again_{item.key}_{number}", _holds_again(cured=cured, closed_in=closed_in)),),
        rules=(RECHECK_RULE, "torque-once") if cured else (RECHECK_RULE,),
    )


def _holds_again(*, cured: bool, closed_in: bool) -> str:
    if closed_in:
        return "The log has this torque, who did it and with which wrench."
    return "It is seated, with no gap." if cured else "It came up to the torque without turning."


def _torque_shown(torque: Torque | None, *, cured: bool) -> Torque | None:
    return None if cured else torque


def _how_again(*, cured: bool, closed_in: bool) -> str:
    if closed_in:
        return (
            "It is closed in. Read in the log who did this torque, and with which wrench. If the log does not have it, "
            "take off what covers it and do it again."
        )
    if cured:
        return (
            "Only look at it: seated, and no gap. A thread in threadlocker is never tightened again; if not sure, "
            "take it out, clean both threads and begin again."
        )
    return "Set the wrench to the torque shown and feel it come up to it; the fastener must not turn before it does."


def verdict_step(sheet: Sheet, stops: Sequence[WorkStop]) -> Step:
    """The work ends: what was decided, with a photo and a signature."""
    readings = sheet.having(Role.READINGS)[0]
    found = " ".join(stop.what for stop in stops)
    return Step(
        key=f"{Act.VERDICT}:{stops[0].key}",
        act=Act.VERDICT,
        item=readings.key,
        name="verdict",
        do=(
            f"The work ends here. Found: {found} Open nothing more, and nothing at all that holds gas in. Take a "
            "photo that "
            'shows it, write the verdict down, sign it, and hang the tag "not rideable" on the unit until its '
            "customer has "
            "decided."
        ),
        position="",
        minutes=Value(300.0),
        hold_point=True,
        records=(
            Record("photo", "Photo that shows what was found."),
            Record("signature", "Verdict, name and date.", in_words=True),
            Record("customer_told", "Customer told: who, when, answer.", in_words=True),
            Record("not_rideable", 'The tag "not rideable" hangs on it.'),
        ),
        rules=("verdict", "signed"),
    )
