"""Choosing the target: load, aim, candidates, and the one that is nearest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from sagwright.domain.behaviour import Behaviour, BehaviourU, Candidate, Noticeable
from sagwright.domain.build import Build, Charge
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, AimKind, Intake, Wish
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Origin, Unknown, Value
from sagwright.physics.numeric import Real
from sagwright.planning.behave import STROKE, Five, behaviour_of, five_of
from sagwright.planning.builds import charge_of, possible, reachable, set_up
from sagwright.planning.checks import finding, pressure
from sagwright.planning.coil_choose import about_coils, coil_candidates
from sagwright.planning.doubts import behaviour_doubts, gauge_u
from sagwright.planning.loads import USUAL_SAG, about_load, load_of, sprung_or_missing
from sagwright.planning.match import Matched, Reachable, at_pressure, candidates_of, matched, with_aim
from sagwright.planning.valved import Row, rows_of, valved_of
from sagwright.planning.valves import NEGATIVE, SECOND, gauges_of, limits_of, own_valves, with_own
from sagwright.planning.wrong import equaliser_off

UNSEEN: Final = Five(np.nan, np.nan, np.nan, np.nan, np.nan)
"""How a unit rode when nobody can say."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What may be set: exponent of a stroke, and what a rider just notices."""

    exponent: float = STROKE
    noticeable: Noticeable = field(default_factory=Noticeable)


@dataclass(frozen=True, slots=True)
class Choice:
    """Candidates ranked, how as found behaves, the aim used, and the load."""

    load: Load
    aim: Aim
    as_found: tuple[Behaviour, ...]
    candidates: tuple[Candidate, ...]
    findings: tuple[Finding, ...]
    as_found_u: tuple[BehaviourU, ...] = ()

    @property
    def target(self) -> Candidate | None:
        """The nearest candidate that may be chosen; the same pressure again only shows what it would do."""
        return _nearest(self.candidates)


def chosen(intake: Intake, settings: Settings) -> Choice:
    """Every reachable build at its best pressure, nearest first.

    Raises
    ------
    MissingValue
        If nothing says what the fork carries: no load, no rider, and no pressure as found.
    """
    found = charged_as_found(intake)
    load = load_of(intake, found)
    behaviours = tuple(_behaviour(intake, build, load.force, settings) for build in found)
    why_not = no_as_it_rode(intake)
    aim = intake.wish.aim or (Aim(AimKind.SAG, sag_fraction=USUAL_SAG) if why_not else Aim(AimKind.AS_IT_RODE))
    references = [UNSEEN] if why_not else [five_of(behaviour) for behaviour in behaviours]
    candidates = _candidates(intake, aim, references, load, settings)
    findings = (
        *_about_aim(intake, aim, why_not),
        *about_load(intake, load),
        *_about_candidates(intake, aim, candidates),
    )
    found_u = behaviour_doubts(intake, found, load, exponent=settings.exponent, reading="found")
    return Choice(load, aim, behaviours, _doubted(intake, candidates, load, settings), findings, found_u)


def _doubted(
    intake: Intake, candidates: tuple[Candidate, ...], load: Load, settings: Settings
) -> tuple[Candidate, ...]:
    """The candidates with the uncertainty of all they predict."""
    builds = [candidate.build for candidate in candidates]
    known = behaviour_doubts(intake, builds, load, exponent=settings.exponent, reading="left")
    return tuple(
        replace(candidate, behaviour_u=u, pressure_u=_pressure_u(candidate))
        for candidate, u in zip(candidates, known, strict=True)
    )


def _pressure_u(candidate: Candidate) -> float | None:
    gauge = candidate.pressure_gauge
    return None if gauge is None else gauge_u(Value(gauge))


def no_as_it_rode(intake: Intake) -> str:
    """Why how it rode cannot be the aim, or nothing if it can."""
    charge = charge_of(intake.as_found.build)
    if intake.sheet.coil is not None:
        return "" if set_up(intake.as_found.build) and possible(intake) else "preload-unknown"
    if charge is None:
        return "pressure-unknown"
    if intake.as_found.leaked:
        return "leaked"
    if not charge.cycled:
        return "not-cycled"
    if any(equaliser_off(intake, build) for build in possible(intake)):
        return "equaliser-wrong"
    return ""


def charged_as_found(intake: Intake) -> tuple[Build, ...]:
    """What as found may turn out to be, with its charge or preload; none if nobody knows that."""
    return possible(intake) if set_up(intake.as_found.build) else ()


def _behaviour(intake: Intake, build: Build, load: float, settings: Settings) -> Behaviour:
    return behaviour_of(*sprung_or_missing(intake, build), load, exponent=settings.exponent)


def _candidates(
    intake: Intake, aim: Aim, references: Sequence[Five], load: Load, settings: Settings
) -> tuple[Candidate, ...]:
    """Every candidate, nearest first; of equally near ones the one with the fewest changes."""
    sheet, wish = intake.sheet, intake.wish
    if sheet.coil is not None:
        return coil_candidates(intake, aim, references, load, (settings.exponent, settings.noticeable))
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
        return round(row.distance, 9), abs(number - kept_spacers), number, row.same_pressure

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
    builds, force = [build for build, _ in rows], asked.load.force
    valved = valved_of(sheet, rows, force, workshop=workshop, exponent=settings.exponent) if rows[0][1] else None
    array: Reachable = valved or candidates_of(sheet, builds, force, workshop=workshop, exponent=settings.exponent)
    ambient, pinned = workshop.ambient_abs, asked.pressure_gauge
    if pinned is None and intake.wish.pressure_gauge is not None:
        pinned = intake.wish.pressure_gauge.si
    if pinned is None:
        low, high = limits_of(sheet)
        limits = (low + ambient, high + ambient)
        answer = matched(array, asked.aim, asked.references, limits_abs=limits, noticeable=settings.noticeable)
    else:
        aimed = [with_aim(reference, asked.aim, array.model.spring.travel) for reference in asked.references]
        answer = at_pressure(array, pinned + ambient, aimed, noticeable=settings.noticeable)
    own = {} if valved is None else dict(valved.own_gauges(answer.pressure_abs))
    yield from _rows(intake, builds, answer, own)


def _rows(intake: Intake, builds: Sequence[Build], answer: Matched, own: Mapping[str, Real]) -> Iterator[Candidate]:
    workshop, pinned = intake.workshop, intake.wish.volume_spacers
    for i, build in enumerate(builds):
        gauge = float(answer.pressure_abs[i]) - workshop.ambient_abs  # type: ignore[index]
        held = {field: Value(float(each[i]), None, Origin.COMPUTED) for field, each in own.items()}  # type: ignore[index]
        main = Charge(Value(gauge, None, Origin.COMPUTED), 0.0, workshop.temperature, workshop.ambient_abs)
        five = (float(np.broadcast_to(number, len(builds))[i]) for number in answer.five.as_tuple())
        yield Candidate(
            build=replace(build, charge=with_own(main, held)),
            travel=intake.wish.travel.si,
            pressure_gauge=gauge,
            behaviour=Behaviour(float(answer.sag[i]), *five),  # type: ignore[index]
            distance=float(answer.farthest[i]),  # type: ignore[index]
            distance_low=float(answer.nearest[i]),  # type: ignore[index]
            at_limit=bool(answer.at_limit[i]),  # type: ignore[index]
            permitted=_permits(intake.sheet, gauge, held) and (pinned is None or pinned == build.volume_spacers),
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
    return replace(row, same_pressure=True, permitted=row.permitted and not pinned)


def _about_aim(intake: Intake, aim: Aim, why_not: str) -> Iterator[Finding]:
    if why_not and aim.kind is AimKind.AS_IT_RODE:
        yield finding("aim.as-it-rode-refused", "wish.aim", (("why", why_not),))
    elif why_not:
        yield finding("aim.as-it-rode-not-offered", "wish.aim", (("why", why_not),))
    unset = charge_of(intake.as_found.build) is None or intake.as_found.leaked
    if unset and intake.sheet.coil is None:
        yield finding("same-pressure.none", "as_found.charge", (("why", why_not),))


def _about_candidates(intake: Intake, aim: Aim, candidates: Sequence[Candidate]) -> Iterator[Finding]:
    """An aim of a sag or a capacity that the pressure range does not reach at the nearest candidate."""
    best = _nearest(candidates)
    if aim.kind is AimKind.AS_IT_RODE:
        return
    yield from about_coils(intake, best)
    if best is not None and best.at_limit and best.pressure_gauge is not None:
        yield finding("aim.out-of-reach", "wish.aim", limit=pressure(best.pressure_gauge))


def _nearest(candidates: Sequence[Candidate]) -> Candidate | None:
    return next((one for one in candidates if one.permitted and not one.same_pressure), None)
