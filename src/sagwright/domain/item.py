"""Things that are taken off and fitted, and the work that does it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sagwright.domain.value import Quantity, Value


class Role(StrEnum):
    """What an item is to the interlocks. Items without a role obey only the cover relation."""

    READINGS = "readings"  # off = as found written down, on = proven after the work
    AIR_CHARGE = "air charge"  # gas in the air spring: off = vented and confirmed empty, on = charged
    SECOND_CHARGE = "second air charge"  # the same of a second positive chamber
    NEGATIVE_CHARGE = "negative air charge"  # the same of a negative chamber with a valve of its own
    AIR_CAP = "air cap"
    VOLUME_SPACERS = "volume spacers"
    ADJUSTERS = "adjusters"  # clicks: off = recorded, lock-out open; on = set back
    KNOB = "knob"
    FOOT_FASTENER = "foot nut or bolt"
    FOOT_SEAT = "foot seat"  # the shaft or rod seated in its foot
    LOWER_LEG_OIL = "lower-leg oil"
    LOWERS = "lowers"
    RETAINING_RING = "retaining ring"  # what holds the air-spring assembly in; also a threaded seal head
    AIR_SHAFT = "air shaft"
    TRAVEL_SPACERS = "travel spacers"
    TRANSFER_PORT = "transfer port"
    GAS_CHAMBER = "gas chamber"  # gas with a release of its own, as behind a floating piston; never opened here
    CHARGED_READING = "charged reading"  # measured before the air is let out
    EMPTY_READING = "empty reading"  # measured with the unit confirmed empty and still shut
    PRELOAD = "preload adjuster"  # of a coil: off = turns counted and backed off, on = turned in to the target's
    SPRING_CAP = "spring cap"  # what holds a coil down from above
    COIL = "coil"
    PRELOAD_SPACERS = "preload spacers"
    SPRING_SHAFT = "spring shaft"  # what a coil stands on, held in by a retaining ring
    TOP_OUT_SPACERS = "top-out spacers"


_OWN_VALVE_ROLES: Final = (Role.SECOND_CHARGE, Role.NEGATIVE_CHARGE)
"""Charges of chambers with valves of their own."""

CHARGES: Final = (Role.AIR_CHARGE, *_OWN_VALVE_ROLES)
"""All charges there are: they come out by a step with its own proof, and go in by charging."""

MEASURED_SHUT: Final = (Role.CHARGED_READING, Role.EMPTY_READING)
"""What is measured for its own sake, on a unit that is still shut."""


class Signal(StrEnum):
    """Signal words by the usage of [iso-3864-2]: three degrees of injury, and damage to things."""

    DANGER = "DANGER"  # will kill or injure seriously
    WARNING = "WARNING"  # can kill or injure seriously
    CAUTION = "CAUTION"  # can injure lightly
    NOTICE = "NOTICE"  # can damage the unit


class ThreadState(StrEnum):
    """The state of a thread that a torque belongs to."""

    DRY = "dry"
    GREASED = "greased"
    OILED = "oiled"
    COMPOUND = "threadlocker"


class Hand(StrEnum):
    """Thread hand."""

    RIGHT = "right"
    LEFT = "left"


class Verdict(StrEnum):
    """What an inspection that fails leads to."""

    RENEW = "renew"
    REFUSE = "refuse"
    SCRAP = "scrap"
    DO_NOT_RIDE = "do not ride"


class Act(StrEnum):
    """What a step does with its item."""

    OFF = "off"  # take off, let out, drain, record and open
    ON = "on"  # fit, fill, set back
    CHANGE = "change"  # bring to the target's setting while it is in the open
    CHECK = "check"  # show that it holds
    INSPECT = "inspect"
    CHARGE = "charge"
    CYCLE = "cycle"  # work the unit through the transfer port
    MEASURE = "measure"  # read something, or prove once more that it holds
    BREAK = "break"  # the work rests: a pause, a night, another person
    VERDICT = "verdict"  # the work ends by what was found


class ChargeStage(StrEnum):
    """Which charge a charging step puts in."""

    ASSEMBLY = "assembly"
    RIDING = "riding"
    FINAL = "final"


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool with its size ("socket", "26 mm"); `special` if an ordinary workshop may lack it."""

    name: str
    size: str = ""
    special: bool = False


@dataclass(frozen=True, slots=True)
class Torque:
    """A tightening torque and the thread state it belongs to; `value` None means nobody has found it yet."""

    value: Value | None
    state: ThreadState
    hand: Hand = Hand.RIGHT


@dataclass(frozen=True, slots=True)
class Fluid:
    """A fluid and how much of it; `amount` [m³] None where a film or a smear is meant."""

    name: str
    amount: Value | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt in a step."""

    signal: Signal
    text: str


@dataclass(frozen=True, slots=True)
class Record:
    """A reading or a sighting that must be written down.

    Attributes
    ----------
    key : str
        Name of the reading, unique in a sheet: "pressure_found".
    what : str
        What to read, in words.
    quantity : Quantity or None
        None for a sighting: a statement that holds or does not, or something told in words.
    low, high : float or None
        Limits [SI]; None where there is none. A reading outside them does not pass the step.
    in_words : bool
        Whether a sighting is told in words, because neither yes nor no would answer it.
    """

    key: str
    what: str
    quantity: Quantity | None = None
    low: float | None = None
    high: float | None = None
    in_words: bool = False


@dataclass(frozen=True, slots=True)
class Criterion:
    """One thing to inspect: what to look for, the limit in words, and what a failure leads to."""

    key: str
    what: str
    limit: str
    verdict: Verdict
    value: Value | None = None
    quantity: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """A part by name and size, as it stands in a tools and parts."""

    name: str
    size: str = ""


@dataclass(frozen=True, slots=True)
class Press:
    """How far a charged unit is pressed in to read its pressure there, and what the gauge reaches.

    Attributes
    ----------
    share : float
        Of the travel, 0 to 1.
    gauge_range : Value
        The most the gauge shows [Pa].
    """

    share: float
    gauge_range: Value


@dataclass(frozen=True, slots=True)
class ItemWork:
    """How one act on an item is done.

    Attributes
    ----------
    do : str
        The instruction, one or more sentences.
    position : str
        How the unit is held: "upright in the stand".
    minutes : Value
        Expected time [s] with its spread.
    tools, torque, fluid : optional
    cautions : tuple of Caution
        Shown before the action.
    hold_point : bool
        The step does not pass without its recorded evidence.
    records : tuple of Record
    waiting : Value or None
        Time [s] that must pass afterwards (a cure), during which only what depends on it is held.
    press : Press or None
        Where a charged unit is pressed in.
    """

    do: str
    position: str
    minutes: Value
    tools: tuple[Tool, ...] = ()
    torque: Torque | None = None
    fluid: Fluid | None = None
    cautions: tuple[Caution, ...] = ()
    hold_point: bool = False
    records: tuple[Record, ...] = ()
    waiting: Value | None = None
    press: Press | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A thing taken off and fitted: a part, a fastener, a charge, a fill, a setting.

    Attributes
    ----------
    key, name : str
    covered_by : tuple of str
        Keys of the items that must be off before this one can come off, and that go on after it.
    works : tuple of (Act, ItemWork)
        How each act on it is done; an act that is missing needs no step.
    role : Role or None
    renew : tuple of Part
        Single-use parts that come off with it and are new when it goes on.
    inspect : tuple of Criterion
        Looked at once it is off.
    after : tuple of str
        Extra order when fitting: keys of items that must already be on.
    leg : str
        Name of the leg it belongs to; empty where that means nothing. A lower-leg oil takes its amount from its leg.
    """

    key: str
    name: str
    covered_by: tuple[str, ...] = ()
    works: tuple[tuple[Act, ItemWork], ...] = ()
    role: Role | None = None
    renew: tuple[Part, ...] = ()
    inspect: tuple[Criterion, ...] = ()
    after: tuple[str, ...] = ()
    leg: str = ""

    def work(self, act: Act) -> ItemWork | None:
        """How an act on it is done, or None."""
        return next((work for named, work in self.works if named is act), None)
