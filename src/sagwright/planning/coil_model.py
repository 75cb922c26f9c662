"""A coil in a fork as physics computes with it: how stiff, how far pressed, and when it is solid.

The lowers stand at one place bottomed out, whatever sets the travel. From there the coil is as long as its seats are
apart, less preload spacers and adjuster; topped out it is longer by the travel. So

    preload = free length − seats − travel + spacers + adjuster,

and a spacer under the top-out, which takes its height off the travel, adds as much preload until the same length leaves
the preload stack. What is left before the coil is solid at full travel does not depend on the travel.
"""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.build import Build, CoilFitting
from sagwright.domain.coil_spring import CoilSpring, Shelved
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics import coil
from sagwright.physics.numeric import Real
from sagwright.planning.coils import rate_of, wound_coil


@dataclass(frozen=True, slots=True)
class Pressed:
    """The coil in one or many builds.

    Attributes
    ----------
    rate : float or array
        [N/m].
    preload : float or array
        How far it is pressed topped out [m]; below 0 it is loose there by as much.
    room : float or array
        From where it stands topped out until all its turns touch [m]; infinite where nobody says how it is made.
    """

    rate: Real
    preload: Real
    room: Real


def coil_of(build: Build) -> CoilFitting:
    """What a coil fork has in the place of gas.

    Raises
    ------
    OutOfRange
        If the build is none of a coil fork.
    """
    if build.fitting is None:
        raise OutOfRange("must say which coil is in it", field="as_found.coil")
    return build.fitting


def coil_known(fitting: CoilFitting) -> bool:
    """Whether everything that the force depends on is known."""
    unseen = (fitting.coil, fitting.preload_spacers, fitting.adjuster)
    return not any(isinstance(each, Unknown) for each in unseen)


def pressed(sheet: Sheet, fitting: CoilFitting, travel: Real) -> Pressed:
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
    shelved = named(spring, name)
    squeezed = preload_of(spring, shelved, spacers, travel) + adjuster
    return Pressed(stiffness_of(shelved), squeezed, room_of(shelved) - squeezed)


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


def named(spring: CoilSpring, name: str) -> Shelved:
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


def preload_of(spring: CoilSpring, shelved: Shelved, spacers: int, travel: Real) -> Real:
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


def room_of(shelved: Shelved) -> float:
    """From its free length until all its turns touch [m]; infinite where nobody says how it is made."""
    return float("inf") if shelved.wound is None else shelved.wound.free_length.si - shelved.wound.solid


def stiffness_of(shelved: Shelved) -> Real:
    """Rate [N/m], as printed, else from how the coil is made; an array where its numbers are arrays.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    if shelved.rate is not None:
        return shelved.rate.si
    return rate_of(shelved)[0] if shelved.wound is None else coil.rate(wound_coil(shelved.wound))
