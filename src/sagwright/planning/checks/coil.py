"""Findings about a coil: as found, wished, and at the target."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sagwright.domain.behaviour import Option
from sagwright.domain.coil_spring import CoilOnOffer
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake
from sagwright.domain.setup import CoilFitting, Setup, TopOutSetting
from sagwright.domain.sheet import TopOutSpacers
from sagwright.domain.value import Figure, Quantity, Unknown
from sagwright.errors import OutOfRange
from sagwright.physics import coil, coil_wire
from sagwright.planning.checks.findings import count_figure, finding, length_figure
from sagwright.planning.spring.coil import COIL, coil_of, preload_of
from sagwright.planning.spring.parts import travel_of
from sagwright.planning.spring.setups import possible, reachable, setting_for
from sagwright.planning.spring.wound_coil import seat_distance, stiffness_of, wound_coil

CLEAR = 1e-6
"""Lengths that differ by less than this count as equal [m]."""


def about_coil(intake: Intake) -> Iterator[Finding]:
    """The findings about a coil before anything is chosen."""
    yield from _wished(intake)
    yield from _found_counts(intake)
    found = possible(intake)
    if len(found) == 1:
        yield from _found_coil(intake, found[0])
    yield from _under_the_cap(intake, found)


def _wished(intake: Intake) -> Iterator[Finding]:
    """Some coil fits the wanted travel, and what is pinned is among it."""
    sheet, wish = intake.sheet, intake.wish
    chassis = sheet.chassis_named(intake.unit.chassis)
    if setting_for(sheet, chassis, wish.travel.si) is None:
        return
    setups = [coil_of(setup) for setup in reachable(sheet, chassis, wish.travel.si)]
    if not setups:
        yield finding("coil.none-fits", "wish.travel", wanted=length_figure(wish.travel.si))
    elif not any(_pinned(intake, fitting) for fitting in setups):
        field = "wish.coil" if wish.preload_spacers is None else "wish.preload_spacers"
        words = (("coil", wish.coil or "any"),)
        spacers = {} if wish.preload_spacers is None else {"spacers": count_figure(wish.preload_spacers)}
        yield finding("target.coil-unfit", field, words, wanted=length_figure(wish.travel.si), **spacers)


def _pinned(intake: Intake, fitting: CoilFitting) -> bool:
    wish = intake.wish
    return wish.coil in {None, fitting.coil} and wish.preload_spacers in {None, fitting.preload_spacers}


def _found_counts(intake: Intake) -> Iterator[Finding]:
    """As found holds no more spacers than fit, and its adjuster is turned in no further than it goes."""
    stack, setting = intake.sheet.coil.stack, intake.as_found.setup.setting
    fitting, mechanism = coil_of(intake.as_found.setup), intake.sheet.mechanism
    if isinstance(setting, TopOutSetting) and isinstance(mechanism, TopOutSpacers):
        spacers = setting.top_out_spacers
        if isinstance(spacers, int) and spacers > mechanism.most:
            figures = {"found": count_figure(spacers), "most": count_figure(mechanism.most)}
            yield finding("found.top-out-spacers-too-many", "as_found.top_out_spacers", **figures)
    if isinstance(fitting.preload_spacers, int) and fitting.preload_spacers > stack.most:
        figures = {"found": count_figure(fitting.preload_spacers), "most": count_figure(stack.most)}
        yield finding("found.preload-spacers-too-many", "as_found.preload_spacers", **figures)
    if isinstance(fitting.adjuster, Unknown):
        yield finding("found.preload-unknown", "as_found.preload_turns")
    elif fitting.adjuster > stack.range.si + CLEAR:
        figures = {"found": length_figure(fitting.adjuster), "most": length_figure(stack.range.si)}
        yield finding("found.preload-over", "as_found.preload_turns", **figures)


def _found_coil(intake: Intake, setup: Setup) -> Iterator[Finding]:
    """As found the coil is neither loose topped out nor solid before full travel."""
    sheet, fitting = intake.sheet, coil_of(setup)
    travel = travel_of(sheet, sheet.chassis_named(setup.chassis), setup.setting)
    name, spacers, adjuster = fitting.coil, fitting.preload_spacers, fitting.adjuster
    if isinstance(travel, Unknown) or isinstance(name, Unknown) or isinstance(spacers, Unknown):
        return
    spring = sheet.coil
    turned = 0.0 if isinstance(adjuster, Unknown) else adjuster
    preload = float(preload_of(spring, spring.named(name), spacers, travel)) + turned
    left = seat_distance(spring.named(name)) - preload - travel
    if preload < -CLEAR:
        yield finding("found.coil-loose", "as_found.coil", (("coil", name),), loose=length_figure(-preload))
    if left < -CLEAR:
        yield finding("found.coil-bound", "as_found.coil", (("coil", name),), short=length_figure(-left))


def _under_the_cap(intake: Intake, found: tuple[Setup, ...]) -> Iterator[Finding]:
    """What still presses on the cap once its adjuster is backed off: the most of all that as found may be."""
    sheet, pushes = intake.sheet, []
    for setup in found:
        pressed = COIL.fit(sheet, replace(setup, fitting=replace(coil_of(setup), adjuster=0.0))).coil
        if float(pressed.preload) > CLEAR:
            pushes.append((float(pressed.rate) * float(pressed.preload), float(pressed.preload)))
    if pushes:
        force, lift = max(pushes)
        yield finding(
            "found.coil-presses-cap", "as_found.coil", force=Figure(force, Quantity.FORCE), lift=length_figure(lift)
        )


def findings_on_chosen_coil(intake: Intake, target: Option | None) -> Iterator[Finding]:
    """How near to solid, to yielding and to bowing out the chosen coil comes at full travel."""
    if target is None or target.preload is None:
        return
    shelved = intake.sheet.coil.named(str(coil_of(target.setup).coil))
    yield from _at_full_travel(intake, shelved, target.preload, target.travel)
    yield from _about_stack(intake, target)


def _at_full_travel(intake: Intake, shelved: CoilOnOffer, preload: float, travel: float) -> Iterator[Finding]:
    words, field = (("coil", shelved.name),), "sheet.coil_spring.coils"
    if shelved.wound is None:
        yield finding("coil.solid-unknown", field, words)
        return
    made = wound_coil(shelved.wound)
    left, gaps = seat_distance(shelved) - preload - travel, float(coil.least_gaps(made))
    if left < gaps:
        yield finding("coil.near-solid", field, words, left=length_figure(left), gaps=length_figure(gaps))
    share = _of_yield(shelved, float(stiffness_of(shelved)) * (preload + travel))
    if share is not None and share > 1.0:
        yield finding("coil.overstressed", field, words, share=Figure(share, Quantity.FRACTION))
    bows = float(coil.buckling_deflection(made))
    if preload + travel > bows and not intake.sheet.coil.guided:
        yield finding("coil.bows-out", field, words, bows=length_figure(bows), pressed=length_figure(preload + travel))


def _of_yield(shelved: CoilOnOffer, force: float) -> float | None:
    """Largest shear over where the wire takes a set; None without figures for the material."""
    if shelved.wound is None:
        return None
    try:
        limit = coil_wire.yield_shear(coil_wire.Wire(shelved.wound.material), shelved.wound.wire.si)
    except OutOfRange:
        return None
    return float(coil.stress(wound_coil(shelved.wound), force)) / limit


def _about_stack(intake: Intake, target: Option) -> Iterator[Finding]:
    """What the preload stack gives up or takes on because the top-out spacers change the travel."""
    before, after = intake.as_found.setup, target.setup
    was, becomes = before.setting, after.setting
    if not isinstance(was, TopOutSetting) or not isinstance(becomes, TopOutSetting):
        return
    if isinstance(was.top_out_spacers, Unknown) or isinstance(becomes.top_out_spacers, Unknown) or was == becomes:
        return
    mechanism = intake.sheet.mechanism
    if isinstance(mechanism, TopOutSpacers):
        more = (becomes.top_out_spacers - was.top_out_spacers) * mechanism.height.si
        code = "coil.stack-gives" if more > 0 else "coil.stack-takes"
        yield finding(code, "wish.travel", by=length_figure(abs(more)))
