"""Options of a coil fork: every coil with every stack of preload spacers, each at the preload of least distance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain.behaviour import Option
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, Intake
from sagwright.domain.setup import CoilFitting, Setup
from sagwright.domain.stance import Load
from sagwright.domain.value import Figure, Quantity, Unknown
from sagwright.errors import OutOfRange
from sagwright.physics.spring import GasState, Stroke
from sagwright.planning.checks.findings import finding
from sagwright.planning.matching.affine import Constant, Response, reachable_setups_of
from sagwright.planning.matching.aim import Settings
from sagwright.planning.matching.solver import Matched, matched, with_aim
from sagwright.planning.spring.behaviour import Five, behaviour_mismatch, behaviour_of, five_of
from sagwright.planning.spring.coil import CoilFit, coil_of, preload_of, window
from sagwright.planning.spring.model import sprung
from sagwright.planning.spring.parts import SpringModel, other_masses
from sagwright.planning.spring.setups import possible, reachable, setting_for

_SLACK = 1e-6
"""Preloads closer than this are the same [m]."""


def response_of(model: SpringModel, n: float) -> Response:
    """How coils that touch their seats, and are not pressed topped out, answer to a preload at a fixed exponent."""
    if not isinstance(model.fit, CoilFit):
        raise TypeError("only coils answer to a preload")
    rest = Stroke(model.spring, GasState(other_masses(model), model.workshop.temperature), n=n)
    return Response(Constant(model.fit.coil.rate), rest, 0.0)


def coil_options_of(
    intake: Intake, aim: Aim, references: Sequence[Five], load: Load, settings: Settings
) -> tuple[Option, ...]:
    """Every option, nearest first; of equally near ones the one with the fewest changes, then the least preload."""
    sheet, wish = intake.sheet, intake.wish
    travel = wish.travel.si
    setups = reachable(sheet, sheet.chassis_named(intake.unit.chassis), travel)
    if not setups:
        return ()
    array = reachable_setups_of(
        sheet, setups, load.force.value, workshop=intake.workshop, exponent=settings.exponent, respond=response_of
    )
    ends = [_choice(intake, setup) for setup in setups]
    limits = (np.array([low for low, _ in ends]), np.array([high for _, high in ends]))
    answer = matched(array, aim, references, limits=limits, noticeable=settings.noticeable)
    rows = list(_rows(intake, setups, answer))
    rows += _as_it_is(intake, [with_aim(one, aim, travel) for one in references], load, settings)
    found = intake.as_found.setup.fitting

    def order(row: Option) -> tuple[float, bool, int, float, bool]:
        fitting = coil_of(row.setup)
        moved = 0 if found is None else _apart(fitting.preload_spacers, found.preload_spacers)
        other = found is not None and fitting.coil != found.coil
        return round(row.mismatch, 9), other, moved, row.preload or 0.0, row.as_found

    return tuple(sorted(rows, key=order))


def _window(intake: Intake, setup: Setup, travel: float) -> tuple[float, float]:
    name, spacers = _parts(setup)
    return window(intake.sheet, intake.sheet.coil.named(name), spacers, travel)


def _choice(intake: Intake, setup: Setup) -> tuple[float, float]:
    """Between which preloads one may be chosen [m]; the nearest to the pinned one where one is."""
    low, high = _window(intake, setup, intake.wish.travel.si)
    pinned = _pinned(intake, setup)
    return (low, high) if pinned is None else (min(max(pinned, low), high),) * 2


def _pinned(intake: Intake, setup: Setup) -> float | None:
    """The preload that a pinned adjuster makes of a coil with its spacers [m]."""
    adjuster = intake.wish.adjuster
    if adjuster is None:
        return None
    name, spacers = _parts(setup)
    spring = intake.sheet.coil
    return float(preload_of(spring, spring.named(name), spacers, intake.wish.travel.si)) + adjuster


def _permits(intake: Intake, setup: Setup, preload: float) -> bool:
    """Whether the wish leaves a coil with its spacers and preload open."""
    wish, (name, spacers), pinned = intake.wish, _parts(setup), _pinned(intake, setup)
    chosen = wish.coil in {None, name} and wish.preload_spacers in {None, spacers}
    return chosen and (pinned is None or abs(pinned - preload) <= _SLACK)


def _parts(setup: Setup) -> tuple[str, int]:
    fitting = coil_of(setup)
    if isinstance(fitting.coil, Unknown) or isinstance(fitting.preload_spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="coil")
    return fitting.coil, fitting.preload_spacers


def _apart(one: int | Unknown, other: int | Unknown) -> int:
    return abs(one - other) if isinstance(one, int) and isinstance(other, int) else 0


def _rows(intake: Intake, setups: Sequence[Setup], answer: Matched) -> Iterator[Option]:
    spring, travel = intake.sheet.coil, intake.wish.travel.si
    for one, preload in answer.options(setups, travel):
        name, spacers = _parts(one.setup)
        adjuster = max(0.0, preload - float(preload_of(spring, spring.named(name), spacers, travel)))
        setup = replace(one.setup, fitting=CoilFitting(name, spacers, adjuster))
        yield replace(one, setup=setup, permitted=_permits(intake, setup, preload), preload=preload)


def _as_it_is(intake: Intake, aimed: Sequence[Five], load: Load, settings: Settings) -> Iterator[Option]:
    """The row that leaves coil, spacers and adjuster as they were found; only where it could be so."""
    setup = _left_alone(intake)
    if setup is None:
        return
    low, high = _window(intake, setup, intake.wish.travel.si)
    preload = _preload(intake, setup)
    made = sprung(intake.sheet, setup, intake.workshop) if low - _SLACK <= preload <= high + _SLACK else None
    if made is None:
        return
    behaviour = behaviour_of(*made, load.force.value, exponent=settings.exponent)
    off = [float(np.max(behaviour_mismatch(five_of(behaviour), one, settings.noticeable))) for one in aimed]
    yield Option(
        setup=setup,
        travel=intake.wish.travel.si,
        pressure_gauge=None,
        behaviour=behaviour,
        mismatch=max(off),
        mismatch_low=min(off),
        as_found=True,
        preload=preload,
    )


def _left_alone(intake: Intake) -> Setup | None:
    """As found with nothing but its travel changed; None while it may be several, or its adjuster is unknown."""
    found = possible(intake)
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    setting = setting_for(intake.sheet, chassis, intake.wish.travel.si)
    if len(found) != 1 or setting is None or isinstance(coil_of(found[0]).adjuster, Unknown):
        return None
    return replace(found[0], setting=setting, legs=())


def _preload(intake: Intake, setup: Setup) -> float:
    """How far the coil of a fully known setup is pressed topped out at the wished travel [m]."""
    name, spacers = _parts(setup)
    spring, adjuster = intake.sheet.coil, coil_of(setup).adjuster
    turned = 0.0 if isinstance(adjuster, Unknown) else adjuster
    return float(preload_of(spring, spring.named(name), spacers, intake.wish.travel.si)) + turned


def about_coils(best: Option | None) -> Iterator[Finding]:
    """No preload of the nearest coil meets the aim."""
    if best is not None and best.at_limit and best.preload is not None:
        preload = Figure(best.preload, Quantity.LENGTH)
        yield finding("coil.aim-out-of-reach", "wish.aim", (("coil", str(coil_of(best.setup).coil)),), preload=preload)
