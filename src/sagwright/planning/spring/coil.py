"""A coil in a fork as physics computes with it: how stiff, how far pressed, when solid; and which setups there are.

The lowers stand at one place bottomed out, whatever sets the travel. From there the coil is as long as its seats are
apart, less preload spacers and adjuster; topped out it is longer by the travel. So

    preload = free length − seats − travel + spacers + adjuster,

and a spacer under the top-out, which takes its height off the travel, adds as much preload until the same length leaves
the preload stack. What is left before the coil is solid at full travel does not depend on the travel.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import CoilFitting, Setting, Setup, TopOutSetting, coil_setup
from sagwright.domain.sheet import Chassis, Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.numeric import Real
from sagwright.physics.spring import GasState
from sagwright.planning.spring.parts import Fit, SpringModel, columns, other_masses, travel_of, with_legs
from sagwright.planning.spring.wound_coil import seat_distance, stiffness_of

SAME_PRELOAD: Final = 5e-5
"""Places of a preload adjuster closer than this are one [m]."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """The coil in one or many setups.

    Attributes
    ----------
    rate : float or array
        [N/m].
    preload : float or array
        How far it is pressed topped out [m]; below 0 it is loose there by as much.
    travel_to_solid : float or array
        From where it stands topped out until all its turns touch [m]; infinite where nobody says how it is made.
    """

    rate: Real
    preload: Real
    travel_to_solid: Real

    def further(self, by: Real) -> Pressed:
        """The coil with its adjuster turned further in by a length [m]."""
        return Pressed(self.rate, self.preload + by, self.travel_to_solid - by)


@dataclass(frozen=True, slots=True)
class CoilFit(Fit):
    """What builds put into a coil fork: its coil, which has neither chambers nor ports."""

    coil: Pressed = Pressed(0.0, 0.0, float("inf"))

    def stops(self, sheet: Sheet) -> tuple[LinearBumper, ...]:
        """The coil: a bumper that starts before its travel."""
        del sheet
        return (LinearBumper(-self.coil.preload, self.coil.rate, +1),)

    @property
    def reach(self) -> Real:
        """Its travel, or as far as the coil is not solid."""
        return np.minimum(self.travel, self.coil.travel_to_solid)

    @property
    def preload(self) -> Real:
        """Of the coil."""
        return self.coil.preload


def coil_of(setup: Setup) -> CoilFitting:
    """What a coil fork has in the place of gas.

    Raises
    ------
    OutOfRange
        If the setup is none of a coil fork.
    """
    if setup.fitting is None:
        raise OutOfRange("must say which coil is in it", field="as_found.coil")
    return setup.fitting


def preload_state(sheet: Sheet, fitting: CoilFitting, travel: Real) -> Pressed:
    """The coil of one fully known fitting at a travel [m].

    Raises
    ------
    OutOfRange
        If something is unknown, or the sheet has no such coil.
    """
    spring = sheet.coil
    name, spacers, adjuster = fitting.coil, fitting.preload_spacers, fitting.adjuster
    if isinstance(name, Unknown) or isinstance(spacers, Unknown) or isinstance(adjuster, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.coil")
    shelved = coil_named(spring, name)
    squeezed = preload_of(spring, shelved, spacers, travel) + adjuster
    return Pressed(stiffness_of(shelved), squeezed, seat_distance(shelved) - squeezed)


def coil_named(spring: CoilSpring, name: str) -> CoilOnOffer:
    """The coil of that name.

    Raises
    ------
    OutOfRange
        If the sheet has none.
    """
    try:
        return spring.named(name)
    except KeyError:
        offered = ", ".join(each.name for each in spring.coils)
        raise OutOfRange(
            "must be a coil of the sheet", field="coil", value=name, remedy=f"There are: {offered}."
        ) from None


def preload_of(spring: CoilSpring, shelved: CoilOnOffer, spacers: int, travel: Real) -> Real:
    """How far a coil is pressed topped out with the adjuster out [m]; below 0 it is loose.

    Raises
    ------
    MissingValue
        If its free length is unknown.
    """
    free = shelved.free_length
    if free is None:
        raise MissingValue("must have a free length", field=shelved.name, remedy="Measure it, and write free_length.")
    return free.si - spring.seats.si - travel + spacers * spring.stack.height.si


def window(sheet: Sheet, shelved: CoilOnOffer, spacers: int, travel: float) -> tuple[float, float]:
    """Least and most preload [m] the adjuster gives a coil: neither loose topped out nor solid before full travel.

    The first is above the second where no place of the adjuster does.
    """
    spring = sheet.coil
    out = float(preload_of(spring, shelved, spacers, travel))
    return max(0.0, out), min(out + spring.stack.range.si, seat_distance(shelved) - travel)


def coil_fittings(sheet: Sheet, travel: float) -> Iterator[CoilFitting]:
    """Every coil with every number of preload spacers that fits a travel, the adjuster not yet turned in."""
    spring = sheet.coil
    for shelved in spring.coils:
        for spacers in range(spring.stack.most + 1):
            low, high = window(sheet, shelved, spacers, travel)
            if low <= high:
                yield CoilFitting(shelved.name, spacers, Unknown.NOT_MEASURED)


def possible_coils(sheet: Sheet, setup: Setup, travel: float) -> Iterator[Setup]:
    """What a setup may turn out to be where coil or preload spacers wait until it is open."""
    found, spring = coil_of(setup), sheet.coil
    names = [each.name for each in spring.coils] if isinstance(found.coil, Unknown) else [found.coil]
    counts = _counts(found.preload_spacers, spring.stack.most)
    adjuster = 0.0 if isinstance(found.adjuster, Unknown) else found.adjuster
    for name in names:
        for count in counts:
            seen = isinstance(found.coil, str) and isinstance(found.preload_spacers, int)
            if seen or _may_be(sheet, spring.named(name), count, adjuster, travel):
                yield replace(setup, fitting=replace(found, coil=name, preload_spacers=count))


def _counts(count: int | Unknown, most: int) -> Iterable[int]:
    return range(most + 1) if isinstance(count, Unknown) else (count,)


def _may_be(sheet: Sheet, shelved: CoilOnOffer, spacers: int, adjuster: float, travel: float) -> bool:
    """Whether a coil nobody has seen fits: not loose, and not solid before full travel."""
    turned = float(preload_of(sheet.coil, shelved, spacers, travel)) + adjuster
    return 0.0 <= turned <= seat_distance(shelved) - travel


class CoilKind:
    """Coils on a shaft in a stanchion."""

    unset = "preload-unknown"
    tested = "chosen-coil"

    def known(self, setup: Setup) -> bool:
        """Whether coil, preload spacers and adjuster are known."""
        fitting = coil_of(setup)
        unseen = (fitting.coil, fitting.preload_spacers, fitting.adjuster)
        return not any(isinstance(each, Unknown) for each in unseen)

    can_be_drawn = known

    def set_up(self, setup: Setup) -> bool:
        """Whether its adjuster is known."""
        return not isinstance(coil_of(setup).adjuster, Unknown)

    def fit(self, sheet: Sheet, setup: Setup) -> CoilFit:
        """Its coil, as far as it is pressed."""
        travel = travel_of(sheet, sheet.chassis_named(setup.chassis), setup.setting)
        stack = setup.setting.top_out_spacers if isinstance(setup.setting, TopOutSetting) else 0
        if isinstance(travel, Unknown) or isinstance(stack, Unknown):
            raise OutOfRange("must be known to compute the spring", field="as_found.top_out_spacers")
        return with_legs(sheet, setup, CoilFit(travel, stack, coil=preload_state(sheet, coil_of(setup), travel)))

    def side_by_side(self, sheet: Sheet, setups: Sequence[Setup]) -> CoilFit:
        """Their coils touching their seats, not pressed topped out."""
        fits = [self.fit(sheet, _turned_out(setup)) for setup in setups]
        rates = np.array([fit.coil.rate for fit in fits], dtype=float)
        return replace(fits[0], **columns(fits, "travel", "stack"), coil=Pressed(rates, 0.0, np.inf))

    def state(self, model: SpringModel, setup: Setup) -> GasState:
        """Gas in legs and damper alone."""
        del setup
        return GasState(other_masses(model), model.workshop.temperature)

    def reachable_setups(self, sheet: Sheet, chassis: Chassis, setting: Setting) -> tuple[Setup, ...]:
        """One for each coil and number of preload spacers that fits."""
        travel = travel_of(sheet, chassis, setting)
        if isinstance(travel, Unknown):
            return ()
        return tuple(coil_setup(chassis.name, setting, fitting) for fitting in coil_fittings(sheet, travel))

    def possible_setups(self, sheet: Sheet, setup: Setup, settings: Iterable[Setting]) -> Iterator[Setup]:
        """With every coil and preload spacers that fit, where nobody has seen them."""
        chassis = sheet.chassis_named(setup.chassis)
        for setting in settings:
            travel = travel_of(sheet, chassis, setting)
            if not isinstance(travel, Unknown):
                yield from possible_coils(sheet, replace(setup, setting=setting), travel)

    def unopened(self, chassis: str, setting: Setting) -> Setup:
        """With neither coil, spacers nor adjuster known."""
        return coil_setup(chassis, setting, UNOPENED)

    def example(self, sheet: Sheet, chassis: str, setting: Setting) -> Setup:
        """With the first coil and no preload spacers."""
        return coil_setup(chassis, setting, CoilFitting(sheet.coil.coils[0].name, 0))

    def softest(self, sheet: Sheet, setup: Setup, workshop: Surroundings) -> Setup:
        """As it is."""
        del sheet, workshop
        return setup

    def keep_external(self, found: Setup, target: Setup) -> Setup:
        """Its adjuster as found, where that is the same to the eye."""
        was, becomes = coil_of(found).adjuster, coil_of(target).adjuster
        if isinstance(was, Unknown) or isinstance(becomes, Unknown) or abs(becomes - was) >= SAME_PRELOAD:
            return target
        return replace(target, fitting=replace(coil_of(target), adjuster=was))


UNOPENED: Final = CoilFitting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED)
"""What nobody has looked at."""

COIL: Final = CoilKind()


def _turned_out(setup: Setup) -> Setup:
    """A coil setup whose preload is still to be chosen."""
    return replace(setup, fitting=replace(coil_of(setup), adjuster=0.0))
