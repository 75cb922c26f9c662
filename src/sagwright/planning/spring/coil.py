"""A coil in a fork as physics computes with it: how stiff, how far pressed, when solid; and which setups there are.

The lowers stand at one place bottomed out, whatever sets the travel. From there the coil is as long as its seats are
apart, less preload spacers and adjuster; topped out it is longer by the travel. So

    preload = free length − seats − travel + spacers + adjuster,

and a spacer under the top-out, which takes its height off the travel, adds as much preload until the same length leaves
the preload stack. What is left before the coil is solid at full travel does not depend on the travel.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring, WoundCoil
from sagwright.domain.setup import CoilFitting, Setting, Setup, TopOutSetting, coil_setup
from sagwright.domain.sheet import Chassis, Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics import coil, coil_wire
from sagwright.physics.coil import Coil, Ends
from sagwright.physics.numeric import Real
from sagwright.physics.uncertainty import Array, Doubtful, Inputs, MeasurementModel, propagate
from sagwright.planning.spring.parts import Fit, Pressed, travel_of, with_legs


def rate_of(shelved: CoilOnOffer) -> tuple[float, float | None]:
    """Rate [N/m] and its standard uncertainty: as printed, else from how the coil is made.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    if shelved.rate is not None:
        return shelved.rate.si, shelved.rate.u
    if shelved.wound is None:
        raise MissingValue(
            "must have a rate, or wire, diameter, turns and free_length", field=shelved.name, remedy="Write one."
        )
    result = propagate(_rates(shelved.wound), _inputs(shelved.wound))
    return float(result.values[0]), float(result.u[0]) or None


def wound_coil(wound: WoundCoil) -> Coil:
    """A coil as physics takes it; numbers, or arrays in their place, the first of which finds the moduli."""
    moduli = coil_wire.moduli(coil_wire.Wire(wound.material), float(np.ravel(wound.wire.si)[0]))
    return Coil(
        wire=wound.wire.si,
        diameter=wound.diameter.si,
        turns=wound.turns.si,
        free_length=wound.free_length.si,
        shear_modulus=moduli.shear,
        elastic_modulus=moduli.elastic,
        ends=Ends.GROUND if wound.ground else Ends.CLOSED,
    )


def _inputs(wound: WoundCoil) -> dict[str, Doubtful]:
    sizes = {"wire": wound.wire, "diameter": wound.diameter, "turns": wound.turns}
    return {name: Doubtful(size.si, ((name, size.u or 0.0),)) for name, size in sizes.items()}


def _rates(wound: WoundCoil) -> MeasurementModel:
    """The rate as a function of what is not exactly known."""
    plain = wound_coil(wound)
    coil.check_coil(plain)

    def model(cases: Inputs) -> Array:
        many = replace(plain, wire=cases["wire"], diameter=cases["diameter"], turns=cases["turns"])
        return np.asarray(coil.coil_rate(many), dtype=float)

    return model


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


def is_coil_known(fitting: CoilFitting) -> bool:
    """Whether everything that the force depends on is known."""
    unseen = (fitting.coil, fitting.preload_spacers, fitting.adjuster)
    return not any(isinstance(each, Unknown) for each in unseen)


def preload_state(sheet: Sheet, fitting: CoilFitting, travel: Real) -> Pressed:
    """The coil of one fully known fitting at a travel [m].

    Raises
    ------
    OutOfRange
        If something is unknown, or the sheet has no such coil.
    """
    spring = spring_of(sheet)
    name, spacers, adjuster = fitting.coil, fitting.preload_spacers, fitting.adjuster
    if isinstance(name, Unknown) or isinstance(spacers, Unknown) or isinstance(adjuster, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.coil")
    shelved = coil_named(spring, name)
    squeezed = preload_of(spring, shelved, spacers, travel) + adjuster
    return Pressed(stiffness_of(shelved), squeezed, seat_distance(shelved) - squeezed)


def spring_of(sheet: Sheet) -> CoilSpring:
    """The coil spring of a sheet.

    Raises
    ------
    OutOfRange
        If it has air.
    """
    if sheet.coil is None:
        raise OutOfRange("must describe a fork with a coil for this", field="sheet", value=sheet.name)
    return sheet.coil


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


def seat_distance(shelved: CoilOnOffer) -> float:
    """From its free length until all its turns touch [m]; infinite where nobody says how it is made."""
    return float("inf") if shelved.wound is None else shelved.wound.free_length.si - shelved.wound.solid


def stiffness_of(shelved: CoilOnOffer) -> Real:
    """Rate [N/m], as printed, else from how the coil is made; an array where its numbers are arrays.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    if shelved.rate is not None:
        return shelved.rate.si
    return rate_of(shelved)[0] if shelved.wound is None else coil.coil_rate(wound_coil(shelved.wound))


def coil_fit(sheet: Sheet, setup: Setup) -> Fit:
    """The same for a coil fork, which has neither transfer port nor volume spacers."""
    travel = travel_of(sheet, sheet.chassis_named(setup.chassis), setup.setting)
    stack = setup.setting.top_out_spacers if isinstance(setup.setting, TopOutSetting) else 0
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.top_out_spacers")
    return with_legs(sheet, setup, Fit(travel, stack, 0, 0, (), (), coil=preload_state(sheet, coil_of(setup), travel)))


def window(sheet: Sheet, shelved: CoilOnOffer, spacers: int, travel: float) -> tuple[float, float]:
    """Least and most preload [m] the adjuster gives a coil: neither loose topped out nor solid before full travel.

    The first is above the second where no place of the adjuster does.
    """
    spring = spring_of(sheet)
    out = float(preload_of(spring, shelved, spacers, travel))
    return max(0.0, out), min(out + spring.stack.range.si, seat_distance(shelved) - travel)


def coil_fittings(sheet: Sheet, travel: float) -> Iterator[CoilFitting]:
    """Every coil with every number of preload spacers that fits a travel, the adjuster not yet turned in."""
    spring = spring_of(sheet)
    for shelved in spring.coils:
        for spacers in range(spring.stack.most + 1):
            low, high = window(sheet, shelved, spacers, travel)
            if low <= high:
                yield CoilFitting(shelved.name, spacers, Unknown.NOT_MEASURED)


def coils_reaching(sheet: Sheet, chassis: Chassis, setting: Setting, travel: float) -> tuple[Setup, ...]:
    """Every setup that gives a travel by its setting."""
    return tuple(coil_setup(chassis.name, setting, fitting) for fitting in coil_fittings(sheet, travel))


def possible_coils(sheet: Sheet, setup: Setup, travel: float) -> Iterator[Setup]:
    """What a setup may turn out to be where coil or preload spacers wait until it is open."""
    found = setup.fitting
    if found is None:
        return
    spring = spring_of(sheet)
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
    turned = float(preload_of(spring_of(sheet), shelved, spacers, travel)) + adjuster
    return 0.0 <= turned <= seat_distance(shelved) - travel
