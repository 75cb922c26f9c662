"""A bike as its frame's maker and a rule describe it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sagwright.domain.value import Value


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel with its tyre.

    Attributes
    ----------
    radius : Value or None
        Axle to ground, measured [m]; None where it must be estimated from the marking.
    tyre : str
        The marking moulded into the tyre, ISO 5775: "57-622"; empty where nobody wrote it.
    width, bead_seat : float or None
        Of the marking [m].
    """

    radius: Value | None = None
    tyre: str = ""
    width: float | None = None
    bead_seat: float | None = None


@dataclass(frozen=True, slots=True)
class Geometry:
    """A frame's printed geometry, with the fork and the wheels it was printed for.

    Attributes
    ----------
    head_angle, seat_angle : Value or None
        From the horizontal behind [rad].
    chainstay : Value
        Bottom bracket to rear axle, straight, topped out [m].
    bb_drop, bb_height : Value or None
        Bottom bracket below the rear axle, and over the ground [m]; one of them, or both, and then they must agree.
    axle_to_crown, offset : Value
        Of the fork it was printed with: topped out, along the steerer; axle before the steering axis [m].
    fork_travel : Value
        Of the same fork [m].
    reach, stack, wheelbase, front_centre, head_tube, lower_stack : Value or None
        [m]. Reach and stack, or the wheelbase, or the front centre; what there is more must agree.
    """

    head_angle: Value
    chainstay: Value
    axle_to_crown: Value
    offset: Value
    fork_travel: Value
    bb_drop: Value | None = None
    bb_height: Value | None = None
    seat_angle: Value | None = None
    reach: Value | None = None
    stack: Value | None = None
    wheelbase: Value | None = None
    front_centre: Value | None = None
    head_tube: Value | None = None
    lower_stack: Value | None = None


@dataclass(frozen=True, slots=True)
class AxlePath:
    """Where the rear axle goes.

    Attributes
    ----------
    travel : Value
        Rise of the axle [m].
    pivot : tuple of Value or None
        Of a single pivot, before and above the bottom bracket [m].
    points : tuple of (float, float)
        Rise, and how far behind its topped-out place the axle then is [m]; empty where nobody measured them.
    """

    travel: Value
    pivot: tuple[Value, Value] | None = None
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Contact:
    """Where a rider touches the bike; None where nobody said.

    Attributes
    ----------
    crank : Value or None
        Length of a crank [m].
    grips_ahead, grips_above : Value or None
        Grips before and above the upper end of the head tube [m].
    saddle_height : Value or None
        Bottom bracket to the saddle's top, along the seat angle [m].
    """

    crank: Value | None = None
    grips_ahead: Value | None = None
    grips_above: Value | None = None
    saddle_height: Value | None = None


@dataclass(frozen=True, slots=True)
class ForkLimit:
    """What fork a frame's maker permits, for every wheel or for one bead seat [m]; None where the maker is silent."""

    bead_seat: float | None = None
    longest_travel: Value | None = None
    shortest_travel: Value | None = None
    longest_axle_to_crown: Value | None = None
    shortest_axle_to_crown: Value | None = None


@dataclass(frozen=True, slots=True)
class MakerAnswer:
    """What a maker answered: who, when, what, and for which finding ("frame.too-long")."""

    about: str
    who: str
    when: str
    answer: str


@dataclass(frozen=True, slots=True)
class FrameLimits:
    """Everything a frame's maker limits.

    Attributes
    ----------
    forks : tuple of ForkLimit
    system_mass : Value or None
        Rider, gear and bike [kg].
    largest_rotor : Value or None
        Front rotor [m].
    """

    forks: tuple[ForkLimit, ...] = ()
    system_mass: Value | None = None
    largest_rotor: Value | None = None


class ClearancePlace(StrEnum):
    """What a tyre could touch."""

    CROWN = "crown"
    ARCH = "arch"
    DOWN_TUBE = "down tube"


@dataclass(frozen=True, slots=True)
class MeasuredGap:
    """A gap measured on the unit: air out, tyre at its highest pressure, bottomed by hand [m].

    `tyre_radius` is that of the tyre it was measured with; None for the tyre on the wheel. `chassis` is the one it was
    measured on; None for the one in the intake.
    """

    place: ClearancePlace
    gap: Value
    tyre_radius: Value | None = None
    chassis: str | None = None


@dataclass(frozen=True, slots=True)
class TyreClearance:
    """What is known about the room around the front tyre.

    Attributes
    ----------
    margin : Value
        Gap below which someone must agree [m].
    measured : tuple of MeasuredGap
    crown_depth, crown_lead : Value or None
        Underside of the crown below the race seat, and before the steering axis [m].
    arch_height : Value or None
        Axle to the nearest point of the arch [m].
    down_tube : Value or None
        Outside diameter of the down tube [m].
    mudguard : Value or None
        Thickness of what is between tyre and crown [m].
    """

    margin: Value
    measured: tuple[MeasuredGap, ...] = ()
    crown_depth: Value | None = None
    crown_lead: Value | None = None
    arch_height: Value | None = None
    down_tube: Value | None = None
    mudguard: Value | None = None


@dataclass(frozen=True, slots=True)
class Bike:
    """A bike.

    Attributes
    ----------
    name : str
    front, rear : Wheel
    geometry : Geometry
    rear_travel : AxlePath or None
        None for a rigid rear end.
    mass : Value or None
        Ready to ride, rider off [kg].
    front_share : Value or None
        Share of that mass on the front wheel.
    unsprung : Value or None
        Front wheel, rotor, axle and lowers [kg].
    rotor : Value or None
        Front rotor that is fitted [m].
    """

    name: str
    front: Wheel
    rear: Wheel
    geometry: Geometry
    rear_travel: AxlePath | None = None
    contact: Contact = Contact()
    limits: FrameLimits = FrameLimits()
    clearance: TyreClearance | None = None
    mass: Value | None = None
    front_share: Value | None = None
    unsprung: Value | None = None
    rotor: Value | None = None


@dataclass(frozen=True, slots=True)
class Outline:
    """All that is known of the bike of a posted fork; offset and front radius give its trail where they are known."""

    head_angle: Value
    wheelbase: Value
    offset: Value | None = None
    front_radius: Value | None = None
