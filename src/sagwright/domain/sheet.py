"""A spec sheet, resolved: everything it and the sheets under it say of a family of units, and what sets the travel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from sagwright.domain.air_spring import AirSpring
from sagwright.domain.coil_spring import CoilSpring
from sagwright.domain.item import Caution, ChargeStage, Item, Role
from sagwright.domain.value import Value
from sagwright.errors import OutOfRange

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class SpacerStack:
    """Travel set by spacers under the piston: T = T_longest − n·h; the transfer port moves one hole per spacer."""

    height: Value
    outside: Value
    most: int
    kind: Literal["spacer_stack"] = "spacer_stack"


@dataclass(frozen=True, slots=True)
class Shaft:
    """One air shaft: the travel it gives [m] and the most volume spacers it leaves room for."""

    travel: Value
    most_volume_spacers: int


@dataclass(frozen=True, slots=True)
class ShaftPerTravel:
    """Travel set by the length of the air shaft; topped-out chambers and port stay. One shaft alone fixes it."""

    shafts: tuple[Shaft, ...]
    kind: Literal["shaft_per_travel"] = "shaft_per_travel"


@dataclass(frozen=True, slots=True)
class TopOutSpacers:
    """Travel of a coil fork set by spacers under the top-out: T = T_longest − n·h. They hold the shaft further in, so
    that each presses the coil by its height too, and the same length has to leave the preload stack."""

    height: Value
    most: int
    kind: Literal["top_out_spacer"] = "top_out_spacer"


Mechanism = SpacerStack | ShaftPerTravel | TopOutSpacers


@dataclass(frozen=True, slots=True)
class Chassis:
    """A castings variant.

    Attributes
    ----------
    longest : Value
        Travel with nothing that shortens it [m].
    travels : tuple of float
        Permitted travels, ascending [m].
    axle_to_crown : Value or None
        At the longest travel, topped out [m].
    """

    name: str
    longest: Value
    travels: tuple[float, ...]
    axle_to_crown: Value | None = None


@dataclass(frozen=True, slots=True)
class Leg:
    """One lower leg: a closed volume of air over its lower-leg oil.

    Attributes
    ----------
    stanchion : Value
        Outside diameter of the stanchion that dips into it [m].
    rod : Value
        Diameter of the shaft or rod that stands in its foot [m].
    air_bottomed : Value
        Air left at bottom-out before any lower-leg oil is in [m³].
    lower_leg_oil : Value
        Lower-leg oil it takes [m³]; zero where the damper's own oil does the work.
    """

    name: str
    stanchion: Value
    rod: Value
    air_bottomed: Value
    lower_leg_oil: Value


@dataclass(frozen=True, slots=True)
class Damper:
    """What the damper adds to the spring: gas at a pressure, pushing its rod out.

    Attributes
    ----------
    rod : Value
        Rod diameter [m].
    gas_pressure_gauge : Value
        Gas pressure topped out, gauge at 101 325 Pa ambient [Pa].
    gas_volume : Value
        Gas volume topped out [m³].
    stroke : Value or None
        How far its rod goes in [m]; a limit of the travel of its own.
    """

    rod: Value
    gas_pressure_gauge: Value
    gas_volume: Value
    stroke: Value | None = None


@dataclass(frozen=True, slots=True)
class DiscStack:
    """Disc springs: their diameters, thickness and cone height until flat [m], `series` packets on end of `parallel`
    discs nested the same way, elastic modulus [Pa] and Poisson ratio."""

    outside: Value
    inside: Value
    thickness: Value
    cone: Value
    elastic_modulus: Value
    poisson: Value
    series: int = 1
    parallel: int = 1


@dataclass(frozen=True, slots=True)
class Bumper:
    """A bumper: it acts over the last `length` [m] of travel at its end, with `rate` [N/m], or as its `discs` do,
    which then stand in the place of the rate."""

    length: Value
    rate: Value
    discs: DiscStack | None = None


@dataclass(frozen=True, slots=True)
class Friction:
    """Half the gap between pressing and lifting [N], and the force that starts a resting unit [N]."""

    sliding: Value
    breakaway: Value


@dataclass(frozen=True, slots=True)
class BushingFit:
    """Where the lowers slide, both legs taken as one.

    Attributes
    ----------
    spacing : Value
        Between the middles of upper and lower bushing [m].
    to_axle : Value
        From the lower one's middle to the axle, along the leg [m].
    lead : Value
        Axle before the legs' own axis [m].
    coefficient : Value
        Of sliding friction.
    overlap, least_overlap : Value or None
        How far the stanchions reach past the lower bushings, topped out at the longest travel of the chassis, and how
        far they must [m].
    """

    spacing: Value
    to_axle: Value
    lead: Value
    coefficient: Value
    overlap: Value | None = None
    least_overlap: Value | None = None


@dataclass(frozen=True, slots=True)
class ChargingOrder:
    """How this family is charged.

    Attributes
    ----------
    before_lowers : ChargeStage or None
        The charge that goes in before the lowers do; None for none.
    assembly_gauge : Value or None
        The assembly pressure [Pa], where there is one.
    cycles : int
        Slow strokes through the transfer port after charging; 0 where there is no air spring.
    """

    before_lowers: ChargeStage | None
    assembly_gauge: Value | None
    cycles: int


@dataclass(frozen=True, slots=True)
class Service:
    """A service interval: what, and after how much riding time [s]."""

    what: str
    every: Value


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet with everything it extends merged in."""

    name: str
    maker: str
    model: str
    revision: int
    base: str
    chassis: tuple[Chassis, ...]
    mechanism: Mechanism
    spring: AirSpring | CoilSpring
    legs: tuple[Leg, ...]
    damper: Damper
    top_out: Bumper
    bottom_out: Bumper
    friction: Friction
    charging: ChargingOrder
    items: tuple[Item, ...] = field(repr=False)
    service: tuple[Service, ...] = ()
    notices: tuple[Caution, ...] = ()
    bushings: BushingFit | None = None

    @property
    def air(self) -> AirSpring:
        """The air spring.

        Raises
        ------
        OutOfRange
            If it has a coil spring.
        """
        if isinstance(self.spring, AirSpring):
            return self.spring
        raise OutOfRange("must describe a fork with an air spring for this", field="sheet", value=self.name)

    @property
    def coil(self) -> CoilSpring:
        """The coil spring.

        Raises
        ------
        OutOfRange
            If it has an air spring.
        """
        if isinstance(self.spring, CoilSpring):
            return self.spring
        raise OutOfRange("must describe a fork with a coil for this", field="sheet", value=self.name)

    def item(self, key: str) -> Item:
        """The item of that key.

        Raises
        ------
        KeyError
            If the sheet has none.
        """
        return _first((item for item in self.items if item.key == key), key)

    def having(self, role: Role) -> tuple[Item, ...]:
        """The items with a role, in the order of the sheet."""
        return tuple(item for item in self.items if item.role is role)

    def chassis_named(self, name: str) -> Chassis:
        """The chassis of that name.

        Raises
        ------
        KeyError
            If the sheet has none.
        """
        return _first((chassis for chassis in self.chassis if chassis.name == name), name)


def _first(found: Iterator[_T], name: str) -> _T:
    for thing in found:
        return thing
    raise KeyError(name)
