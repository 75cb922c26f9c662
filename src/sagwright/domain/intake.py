"""What comes in: the unit, how it was found, who rides it, what is wished."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from sagwright.domain.bike import Bike, MakerAnswer, Outline
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task
from sagwright.domain.value import Unknown, Value


@dataclass(frozen=True, slots=True)
class UnitIdentity:
    """One physical fork: its serial number, as found on it or empty, and its chassis."""

    serial: str
    chassis: str


class Posture(StrEnum):
    """How a rider is on the bike while the sag is read."""

    STANDING = "standing level"
    SEATED = "seated"
    ATTACKING = "attacking downhill"


@dataclass(frozen=True, slots=True)
class Rider:
    """A rider.

    Attributes
    ----------
    mass, gear : Value
        Body, and what is worn and carried [kg].
    front_share : Value
        Share of both that loads the fork's spring along its axis, where height and bike don't say better.
    height : Value or None
        [m]; with a bike, the load follows from the posture.
    posture : Posture
    """

    mass: Value
    gear: Value
    front_share: Value
    height: Value | None = None
    posture: Posture = Posture.STANDING


@dataclass(frozen=True, slots=True)
class AsFound:
    """The unit before anyone touched it.

    Attributes
    ----------
    setup : Setup
    travel : Value or Unknown
        Travel as measured or as told [m].
    leaked : bool
        The pressure is known not to be what was ridden.
    last_set : Value or None
        Time since the pressure was last set [s]; None when nobody asked.
    """

    setup: Setup
    travel: Value | Unknown
    leaked: bool = False
    last_set: Value | None = None


class AimKind(StrEnum):
    """What the choice should be nearest to."""

    AS_IT_RODE = "as-it-rode"
    SAG = "sag"
    CAPACITY = "capacity"


@dataclass(frozen=True, slots=True)
class Aim:
    """An aim: a sag as a share of travel or in metres (exactly one of them), or a capacity [J]."""

    kind: AimKind
    sag_fraction: float | None = None
    sag: float | None = None
    capacity: float | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked for; what is not None is pinned.

    Attributes
    ----------
    travel : Value
        Wanted travel [m].
    aim : Aim or None
        None when the intake leaves it open.
    travel_spacers, volume_spacers : int or None
    pressure_gauge, negative_gauge, second_gauge : Value or None
        Gauge, topped out, in the workshop [Pa]: at the main valve, and of the chambers with a valve of their own.
    coil : str or None
        The sheet's name of a coil.
    preload_spacers : int or None
    adjuster : float or None
        Where a preload adjuster is to stand, from fully out [m]; only a task says so.
    """

    travel: Value
    aim: Aim | None = None
    travel_spacers: int | None = None
    volume_spacers: int | None = None
    pressure_gauge: Value | None = None
    negative_gauge: Value | None = None
    second_gauge: Value | None = None
    coil: str | None = None
    preload_spacers: int | None = None
    adjuster: float | None = None


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Temperature [K] and absolute air pressure [Pa]."""

    temperature: float = 293.15
    ambient_abs: float = 101_325.0


@dataclass(frozen=True, slots=True)
class Intake:
    """One unit with its wish, and the sheet it is read by.

    Attributes
    ----------
    name : str
        The workshop's own reference.
    load : Value or None
        Force along the fork at rest, if it was given [N].
    front_scale : Value or None
        What a scale under the front wheel showed with the rider on, both wheels as high [kg].
    bike : Bike, Outline or None
        None for a posted fork of which nothing else is known.
    technician : Rider or None
        Who will sit on the bike for the proof if the rider is not there.
    answers : tuple of MakerAnswer
        What makers answered when they were asked; an answer clears the finding it is about.
    tasks : tuple of Task
        What else is to be done in the same opening.
    """

    name: str
    sheet: Sheet = field(repr=False)
    unit: UnitIdentity
    as_found: AsFound
    wish: Wish
    rider: Rider | None = None
    load: Value | None = None
    workshop: Surroundings = Surroundings()
    front_scale: Value | None = None
    bike: Bike | Outline | None = field(default=None, repr=False)
    technician: Rider | None = None
    answers: tuple[MakerAnswer, ...] = ()
    tasks: tuple[Task, ...] = ()
