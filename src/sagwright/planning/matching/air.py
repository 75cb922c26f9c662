"""Options of an air spring: every setup that reaches the travel, at its best pressure and at the pressure as found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sagwright.domain.behaviour import Candidate
from sagwright.domain.build import Build, Charge
from sagwright.domain.intake import Aim, Intake, Wish
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Measured, Origin, Unknown, Value
from sagwright.physics.numeric import Real
from sagwright.planning.matching.affine import candidates_of
from sagwright.planning.matching.aim import Settings
from sagwright.planning.matching.solver import Matched, Reachable, at_setpoint, matched, with_aim
from sagwright.planning.matching.two_valve import Row, rows_of, valved_of
from sagwright.planning.spring.behaviour import Five
from sagwright.planning.spring.builds import charge_of, reachable
from sagwright.planning.spring.uncertainty import gauge_u
from sagwright.planning.spring.valves import NEGATIVE, SECOND, gauges_of, limits_of, own_valves, with_own


def air_candidates(
    intake: Intake, aim: Aim, references: Sequence[Five], load: Load, settings: Settings
) -> tuple[Candidate, ...]:
    """Every candidate, nearest first; of equally near ones the one with the fewest changes."""
    sheet, wish = intake.sheet, intake.wish
    builds = reachable(sheet, sheet.chassis_named(intake.unit.chassis), wish.travel.si)
    if not builds:
        return ()
    pinned = {field: value.si for field, value in _wished_own(wish).items()}
    rows = list(_matched(intake, rows_of(sheet, builds, pinned), _Asked(aim, references, load, settings)))
    same = charge_of(intake.as_found.build)
    if same is not None and not intake.as_found.leaked:
        kept = rows_of(sheet, builds, gauges_of(sheet, same))
        asked = _Asked(aim, references, load, settings, same.pressure_gauge.si)
        rows.append(_again(intake, list(_matched(intake, kept, asked))))
    found = intake.as_found.build.volume_spacers
    kept_spacers = 0 if isinstance(found, Unknown) else found

    def order(row: Candidate) -> tuple[float, int, int, bool]:
        spacers = row.build.volume_spacers
        number = spacers if isinstance(spacers, int) else 0
        return round(row.distance, 9), abs(number - kept_spacers), number, row.as_found

    return tuple(sorted(rows, key=order))


def _wished_own(wish: Wish) -> dict[str, Value]:
    """The charges of own valves that the wish pins."""
    wished = {NEGATIVE: wish.negative_gauge, SECOND: wish.second_gauge}
    return {field: value for field, value in wished.items() if value is not None}


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of candidates; a pressure to put in, gauge [Pa], or None for that of least distance."""

    aim: Aim
    references: Sequence[Five]
    load: Load
    settings: Settings
    pressure_gauge: float | None = None


def _matched(intake: Intake, rows: Sequence[Row], asked: _Asked) -> Iterator[Candidate]:
    """Rows at their pressures, in their order."""
    sheet, workshop, settings = intake.sheet, intake.workshop, asked.settings
    builds, force = [build for build, _ in rows], asked.load.force.value
    valved = valved_of(sheet, rows, force, workshop=workshop, exponent=settings.exponent) if rows[0][1] else None
    array: Reachable = valved or candidates_of(sheet, builds, force, workshop=workshop, exponent=settings.exponent)
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
    yield from _rows(intake, builds, answer, own)


def _rows(intake: Intake, builds: Sequence[Build], answer: Matched, own: Mapping[str, Real]) -> Iterator[Candidate]:
    workshop, pinned = intake.workshop, intake.wish.volume_spacers
    for i, (one, setpoint) in enumerate(answer.candidates(builds, intake.wish.travel.si)):
        gauge, spacers = setpoint - workshop.ambient_abs, one.build.volume_spacers
        held = {field: Value(float(np.asarray(each)[i]), None, Origin.COMPUTED) for field, each in own.items()}
        main = Charge(Value(gauge, None, Origin.COMPUTED), 0.0, workshop.temperature, workshop.ambient_abs)
        yield replace(
            one,
            build=replace(one.build, charge=with_own(main, held)),
            pressure_gauge=Measured(gauge, gauge_u(main.pressure_gauge)),
            permitted=_permits(intake.sheet, gauge, held) and pinned in {None, spacers},
        )


def _permits(sheet: Sheet, gauge: float, own: Mapping[str, Value]) -> bool:
    """Whether every valve may be charged so."""
    span = sheet.air.pressure_gauge
    slack = 1e-6 * span.high
    beside = all(valve.permits(own[valve.field].si) for valve in own_valves(sheet))
    return beside and span.low - slack <= gauge <= span.high + slack


def _again(intake: Intake, rows: Sequence[Candidate]) -> Candidate:
    """The row that puts the as-found pressure back, with the volume spacers as found where they may stay."""
    found = intake.as_found.build.volume_spacers
    row = rows[min(found, len(rows) - 1)] if isinstance(found, int) else min(rows, key=lambda one: one.distance)
    pinned = intake.wish.pressure_gauge is not None or bool(_wished_own(intake.wish))
    return replace(row, as_found=True, permitted=row.permitted and not pinned)
