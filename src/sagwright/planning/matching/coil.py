"""Candidates of a coil fork: every coil with every stack of preload spacers, each at the preload of least distance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain.behaviour import Candidate
from sagwright.domain.build import Build, CoilFitting
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, Intake
from sagwright.domain.stance import Load
from sagwright.domain.value import Figure, Quantity, Unknown
from sagwright.errors import OutOfRange
from sagwright.physics.spring import State, Stroke
from sagwright.planning.checks.findings import finding
from sagwright.planning.matching.affine import Constant, Response, candidates_of
from sagwright.planning.matching.aim import Settings
from sagwright.planning.matching.solver import Matched, matched, with_aim
from sagwright.planning.spring.behaviour import Five, behaviour_of, distance, five_of
from sagwright.planning.spring.builds import possible, reachable, setting_for
from sagwright.planning.spring.coil import CoilFit, coil_of, preload_of, window
from sagwright.planning.spring.model import sprung
from sagwright.planning.spring.parts import Model, other_masses

SLACK = 1e-6
"""Preloads closer than this are the same [m]."""


def response_of(model: Model, n: float) -> Response:
    """How coils that touch their seats, and are not pressed topped out, answer to a preload at a fixed exponent."""
    if not isinstance(model.fit, CoilFit):
        raise TypeError("only coils answer to a preload")
    rest = Stroke(model.spring, State(other_masses(model), model.workshop.temperature), n=n)
    return Response(Constant(model.fit.coil.rate), rest, 0.0)


def coil_candidates(
    intake: Intake, aim: Aim, references: Sequence[Five], load: Load, settings: Settings
) -> tuple[Candidate, ...]:
    """Every candidate, nearest first; of equally near ones the one with the fewest changes, then the least preload."""
    sheet, wish = intake.sheet, intake.wish
    travel = wish.travel.si
    builds = reachable(sheet, sheet.chassis_named(intake.unit.chassis), travel)
    if not builds:
        return ()
    array = candidates_of(
        sheet, builds, load.force.value, workshop=intake.workshop, exponent=settings.exponent, respond=response_of
    )
    ends = [_choice(intake, build) for build in builds]
    limits = (np.array([low for low, _ in ends]), np.array([high for _, high in ends]))
    answer = matched(array, aim, references, limits=limits, noticeable=settings.noticeable)
    rows = list(_rows(intake, builds, answer))
    rows += _as_it_is(intake, [with_aim(one, aim, travel) for one in references], load, settings)
    found = intake.as_found.build.fitting

    def order(row: Candidate) -> tuple[float, bool, int, float, bool]:
        fitting = coil_of(row.build)
        moved = 0 if found is None else _apart(fitting.preload_spacers, found.preload_spacers)
        other = found is not None and fitting.coil != found.coil
        return round(row.distance, 9), other, moved, row.preload or 0.0, row.as_found

    return tuple(sorted(rows, key=order))


def _window(intake: Intake, build: Build, travel: float) -> tuple[float, float]:
    name, spacers = _parts(build)
    return window(intake.sheet, intake.sheet.coil.named(name), spacers, travel)


def _choice(intake: Intake, build: Build) -> tuple[float, float]:
    """Between which preloads one may be chosen [m]; the nearest to the pinned one where one is."""
    low, high = _window(intake, build, intake.wish.travel.si)
    pinned = _pinned(intake, build)
    return (low, high) if pinned is None else (min(max(pinned, low), high),) * 2


def _pinned(intake: Intake, build: Build) -> float | None:
    """The preload that a pinned adjuster makes of a coil with its spacers [m]."""
    adjuster = intake.wish.adjuster
    if adjuster is None:
        return None
    name, spacers = _parts(build)
    spring = intake.sheet.coil
    return float(preload_of(spring, spring.named(name), spacers, intake.wish.travel.si)) + adjuster


def _permits(intake: Intake, build: Build, preload: float) -> bool:
    """Whether the wish leaves a coil with its spacers and preload open."""
    wish, (name, spacers), pinned = intake.wish, _parts(build), _pinned(intake, build)
    chosen = wish.coil in {None, name} and wish.preload_spacers in {None, spacers}
    return chosen and (pinned is None or abs(pinned - preload) <= SLACK)


def _parts(build: Build) -> tuple[str, int]:
    fitting = coil_of(build)
    if isinstance(fitting.coil, Unknown) or isinstance(fitting.preload_spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="coil")
    return fitting.coil, fitting.preload_spacers


def _apart(one: int | Unknown, other: int | Unknown) -> int:
    return abs(one - other) if isinstance(one, int) and isinstance(other, int) else 0


def _rows(intake: Intake, builds: Sequence[Build], answer: Matched) -> Iterator[Candidate]:
    spring, travel = intake.sheet.coil, intake.wish.travel.si
    for one, preload in answer.candidates(builds, travel):
        name, spacers = _parts(one.build)
        adjuster = max(0.0, preload - float(preload_of(spring, spring.named(name), spacers, travel)))
        build = replace(one.build, fitting=CoilFitting(name, spacers, adjuster))
        yield replace(one, build=build, permitted=_permits(intake, build, preload), preload=preload)


def _as_it_is(intake: Intake, aimed: Sequence[Five], load: Load, settings: Settings) -> Iterator[Candidate]:
    """The row that leaves coil, spacers and adjuster as they were found; only where it could be so."""
    build = _left_alone(intake)
    if build is None:
        return
    low, high = _window(intake, build, intake.wish.travel.si)
    preload = _preload(intake, build)
    made = sprung(intake.sheet, build, intake.workshop) if low - SLACK <= preload <= high + SLACK else None
    if made is None:
        return
    behaviour = behaviour_of(*made, load.force.value, exponent=settings.exponent)
    off = [float(np.max(distance(five_of(behaviour), one, settings.noticeable))) for one in aimed]
    yield Candidate(
        build=build,
        travel=intake.wish.travel.si,
        pressure_gauge=None,
        behaviour=behaviour,
        distance=max(off),
        distance_low=min(off),
        as_found=True,
        preload=preload,
    )


def _left_alone(intake: Intake) -> Build | None:
    """As found with nothing but its travel changed; None while it may be several, or its adjuster is unknown."""
    found = possible(intake)
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    setting = setting_for(intake.sheet, chassis, intake.wish.travel.si)
    if len(found) != 1 or setting is None or isinstance(coil_of(found[0]).adjuster, Unknown):
        return None
    return replace(found[0], setting=setting, legs=())


def _preload(intake: Intake, build: Build) -> float:
    """How far the coil of a fully known build is pressed topped out at the wished travel [m]."""
    name, spacers = _parts(build)
    spring, adjuster = intake.sheet.coil, coil_of(build).adjuster
    turned = 0.0 if isinstance(adjuster, Unknown) else adjuster
    return float(preload_of(spring, spring.named(name), spacers, intake.wish.travel.si)) + turned


def about_coils(best: Candidate | None) -> Iterator[Finding]:
    """No preload of the nearest coil meets the aim."""
    if best is not None and best.at_limit and best.preload is not None:
        preload = Figure(best.preload, Quantity.LENGTH)
        yield finding("coil.aim-out-of-reach", "wish.aim", (("coil", str(coil_of(best.build).coil)),), preload=preload)
