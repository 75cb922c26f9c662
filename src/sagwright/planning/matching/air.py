"""Options of an air spring: every setup that reaches the travel, at its best pressure and at the pressure as found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sagwright.domain.behaviour import Option
from sagwright.domain.intake import Aim, Intake, Wish
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Measured, Origin, Unknown, Value
from sagwright.physics.numeric import Real
from sagwright.planning.matching.affine import reachable_setups_of
from sagwright.planning.matching.aim import Settings
from sagwright.planning.matching.solver import Matched, Reachable, at_setpoint, matched, with_aim
from sagwright.planning.matching.two_valve import Row, two_valve_rows, valved_of
from sagwright.planning.spring.behaviour import Five
from sagwright.planning.spring.setups import charge_of, reachable
from sagwright.planning.spring.uncertainty import gauge_u
from sagwright.planning.spring.valves import (
    NEGATIVE_CHAMBER,
    SECOND_CHAMBER,
    gauges_of,
    limits_of,
    own_valves_of,
    with_valve_pressures,
)


def air_options(
    intake: Intake, aim: Aim, references: Sequence[Five], load: Load, settings: Settings
) -> tuple[Option, ...]:
    """Every option, nearest first; of equally near ones the one with the fewest changes."""
    sheet, wish = intake.sheet, intake.wish
    setups = reachable(sheet, sheet.chassis_named(intake.unit.chassis), wish.travel.si)
    if not setups:
        return ()
    pinned = {field: value.si for field, value in _wished_own(wish).items()}
    rows = list(_matched(intake, two_valve_rows(sheet, setups, pinned), _Asked(aim, references, load, settings)))
    same = charge_of(intake.as_found.setup)
    if same is not None and not intake.as_found.leaked:
        kept = two_valve_rows(sheet, setups, gauges_of(sheet, same))
        asked = _Asked(aim, references, load, settings, same.pressure_gauge.si)
        rows.append(_again(intake, list(_matched(intake, kept, asked))))
    found = intake.as_found.setup.volume_spacers
    kept_spacers = 0 if isinstance(found, Unknown) else found

    def order(row: Option) -> tuple[float, int, int, bool]:
        spacers = row.setup.volume_spacers
        number = spacers if isinstance(spacers, int) else 0
        return round(row.mismatch, 9), abs(number - kept_spacers), number, row.as_found

    return tuple(sorted(rows, key=order))


def _wished_own(wish: Wish) -> dict[str, Value]:
    """The charges of own valves that the wish pins."""
    wished = {NEGATIVE_CHAMBER: wish.negative_gauge, SECOND_CHAMBER: wish.second_gauge}
    return {field: value for field, value in wished.items() if value is not None}


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of options; a pressure to put in, gauge [Pa], or None for that of least distance."""

    aim: Aim
    references: Sequence[Five]
    load: Load
    settings: Settings
    pressure_gauge: float | None = None


def _matched(intake: Intake, rows: Sequence[Row], asked: _Asked) -> Iterator[Option]:
    """Rows at their pressures, in their order."""
    sheet, workshop, settings = intake.sheet, intake.workshop, asked.settings
    setups, force = [setup for setup, _ in rows], asked.load.force.value
    valved = valved_of(sheet, rows, force, workshop=workshop, exponent=settings.exponent) if rows[0][1] else None
    array: Reachable = valved or reachable_setups_of(
        sheet, setups, force, workshop=workshop, exponent=settings.exponent
    )
    ambient, pinned = workshop.ambient_abs, asked.pressure_gauge
    if pinned is None and intake.wish.pressure_gauge is not None:
        pinned = intake.wish.pressure_gauge.si
    if pinned is None:
        low, high = limits_of(sheet)
        limits = (low + ambient, high + ambient)
        answer = matched(array, asked.aim, asked.references, limits=limits, noticeable=settings.noticeable)
    else:
        aimed = [with_aim(reference, asked.aim, array.model.spring.travel) for reference in asked.references]
        answer = at_setpoint(array, pinned + ambient, aimed, noticeable=settings.noticeable)
    own = {} if valved is None else dict(valved.own_gauges(answer.setpoint))
    yield from _rows(intake, setups, answer, own)


def _rows(intake: Intake, setups: Sequence[Setup], answer: Matched, own: Mapping[str, Real]) -> Iterator[Option]:
    workshop, pinned = intake.workshop, intake.wish.volume_spacers
    for i, (one, setpoint) in enumerate(answer.options(setups, intake.wish.travel.si)):
        gauge, spacers = setpoint - workshop.ambient_abs, one.setup.volume_spacers
        held = {field: Value(float(np.asarray(each)[i]), None, Origin.COMPUTED) for field, each in own.items()}
        main = Charge(Value(gauge, None, Origin.COMPUTED), 0.0, workshop.temperature, workshop.ambient_abs)
        yield replace(
            one,
            setup=replace(one.setup, charge=with_valve_pressures(main, held)),
            pressure_gauge=Measured(gauge, gauge_u(main.pressure_gauge)),
            permitted=_permits(intake.sheet, gauge, held) and pinned in {None, spacers},
        )


def _permits(sheet: Sheet, gauge: float, own: Mapping[str, Value]) -> bool:
    """Whether every valve may be charged so."""
    span = sheet.air.pressure_gauge
    slack = 1e-6 * span.high
    beside = all(valve.permits(own[valve.field].si) for valve in own_valves_of(sheet))
    return beside and span.low - slack <= gauge <= span.high + slack


def _again(intake: Intake, rows: Sequence[Option]) -> Option:
    """The row that puts the as-found pressure back, with the volume spacers as found where they may stay."""
    found = intake.as_found.setup.volume_spacers
    row = rows[min(found, len(rows) - 1)] if isinstance(found, int) else min(rows, key=lambda one: one.mismatch)
    pinned = intake.wish.pressure_gauge is not None or bool(_wished_own(intake.wish))
    return replace(row, as_found=True, permitted=row.permitted and not pinned)
