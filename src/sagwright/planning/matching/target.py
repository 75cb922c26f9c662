"""Choosing the target: load, aim, options, and the one that is nearest."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.behaviour import Behaviour, Option
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, AimKind, Intake
from sagwright.domain.setup import Setup
from sagwright.domain.stance import Load
from sagwright.planning.checks.findings import finding, pressure_figure
from sagwright.planning.matching.aim import UNKNOWN_UNTIL_OPEN, Settings, charged_as_found, no_as_it_rode
from sagwright.planning.matching.air import air_options
from sagwright.planning.matching.coil import about_coils, coil_options_of
from sagwright.planning.matching.design_load import USUAL_SAG, about_load, load_of, sprung_or_missing
from sagwright.planning.spring.behaviour import Five, behaviour_of, five_of
from sagwright.planning.spring.uncertainty import with_uncertainty

Options = Callable[[Intake, Aim, Sequence[Five], Load, Settings], tuple[Option, ...]]

OPTIONS: Final[dict[str, Options]] = {"air": air_options, "coil": coil_options_of}
"""By the kind of spring: every option, nearest first."""


@dataclass(frozen=True, slots=True)
class RankedOptions:
    """Options ranked, how as found behaves, the aim used, and the load."""

    load: Load
    aim: Aim
    as_found: tuple[Behaviour, ...]
    options: tuple[Option, ...]
    findings: tuple[Finding, ...]

    @property
    def target(self) -> Option | None:
        """The nearest option that may be chosen; the as-found pressure again only shows what it would do."""
        return _nearest(self.options)


def choose_target(intake: Intake, settings: Settings) -> RankedOptions:
    """Every reachable setup at its best pressure, nearest first.

    Raises
    ------
    MissingValue
        If nothing says what the fork carries: no load, no rider, and no pressure as found.
    """
    found = charged_as_found(intake)
    load = load_of(intake, found)
    behaviours = [_behaviour(intake, setup, load.force.value, settings) for setup in found]
    why_not = no_as_it_rode(intake)
    aim = intake.wish.aim or (Aim(AimKind.SAG, sag_fraction=USUAL_SAG) if why_not else Aim(AimKind.AS_IT_RODE))
    references = [UNKNOWN_UNTIL_OPEN] if why_not else [five_of(behaviour) for behaviour in behaviours]
    options = OPTIONS[intake.sheet.spring.kind](intake, aim, references, load, settings)
    findings = (
        *_about_aim(intake, aim, why_not),
        *about_load(intake, load),
        *_about_options(aim, options),
    )
    rode = list(zip(found, behaviours, strict=True))
    as_found = with_uncertainty(intake, rode, load, exponent=settings.exponent, reading="found")
    return RankedOptions(load, aim, as_found, _doubted(intake, options, load, settings), findings)


def _doubted(intake: Intake, options: tuple[Option, ...], load: Load, settings: Settings) -> tuple[Option, ...]:
    """The options with the uncertainty of all they predict."""
    plain = [(one.setup, one.behaviour) for one in options]
    known = with_uncertainty(intake, plain, load, exponent=settings.exponent, reading="left")
    return tuple(replace(one, behaviour=behaviour) for one, behaviour in zip(options, known, strict=True))


def _behaviour(intake: Intake, setup: Setup, load: float, settings: Settings) -> Behaviour:
    return behaviour_of(*sprung_or_missing(intake, setup), load, exponent=settings.exponent)


def _about_aim(intake: Intake, aim: Aim, why_not: str) -> Iterator[Finding]:
    if why_not and aim.kind is AimKind.AS_IT_RODE:
        yield finding("aim.as-it-rode-not-allowed", "wish.aim", (("why", why_not),))
    elif why_not:
        yield finding("aim.as-it-rode-not-offered", "wish.aim", (("why", why_not),))
    if why_not in {"pressure-unknown", "leaked"}:
        yield finding("as-found-pressure.none", "as_found.charge", (("why", why_not),))


def _about_options(aim: Aim, options: Sequence[Option]) -> Iterator[Finding]:
    """An aim of a sag or a capacity that the pressure range does not reach at the nearest option."""
    best = _nearest(options)
    if aim.kind is AimKind.AS_IT_RODE:
        return
    yield from about_coils(best)
    if best is not None and best.at_limit and best.pressure_gauge is not None:
        yield finding("aim.out-of-reach", "wish.aim", limit=pressure_figure(best.pressure_gauge.value))


def _nearest(options: Sequence[Option]) -> Option | None:
    return next((one for one in options if one.permitted and not one.as_found), None)
