"""An air spring: its chambers, the port between them, what else stands in its tube, and the valves of its chambers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from sagwright.domain.item import Role
from sagwright.domain.value import Span, Value


@dataclass(frozen=True, slots=True)
class Valve:
    """What the maker says of a charge behind its own valve; without choices and points it has one pressure.

    Attributes
    ----------
    choices : tuple of float
        Pressures it may be chosen from, rising, gauge [Pa].
    follows : tuple of (float, float)
        Pressure at the main valve, and the one here that belongs to it, rising, gauge [Pa]; straight lines between
        them, and nothing is known beyond.
    permitted : Span or None
        Permitted here, gauge [Pa]; None where nothing is said beyond the above.
    first : bool
        It is charged before the main chamber and emptied after it; otherwise the other way round.
    """

    choices: tuple[float, ...] = ()
    follows: tuple[tuple[float, float], ...] = ()
    permitted: Span | None = None
    first: bool = False


FIRST = Valve(first=True)
"""A floating piston's: with the main chamber empty it stands on its stop, where its charge is stated."""

AFTER = Valve()
"""A negative chamber's: charged alone it would pull the unit in."""


@dataclass(frozen=True, slots=True)
class OwnValve:
    """A chamber with a valve of its own: its field in a `Charge`, its usual charge, gauge [Pa], how it is charged."""

    field: str
    usual: Value
    valve: Valve


@dataclass(frozen=True, slots=True)
class TransferPort:
    """The port between the positive and the negative chamber.

    Attributes
    ----------
    opens_at : Value
        Compression at which it opens when it stands where it belongs [m].
    band : Value
        Travel over which it stays open [m].
    positions : int
        Places it can be put in, one per travel spacer, hole 0 for none; 1 where it cannot be moved.
    """

    opens_at: Value
    band: Value
    positions: int = 1


@dataclass(frozen=True, slots=True)
class NegativeCoil:
    """A coil that pulls the unit in over the first `length` [m] of travel, with `rate` [N/m]."""

    length: Value
    rate: Value


@dataclass(frozen=True, slots=True)
class FloatingPiston:
    """A second positive chamber behind a floating piston: its volume [m³] and its usual charge, gauge [Pa], both with
    the piston on its stop, and how it is charged."""

    volume: Value
    pressure_gauge: Value
    valve: Valve = FIRST


@dataclass(frozen=True, slots=True)
class AirSpring:
    """The air spring in its tube.

    Attributes
    ----------
    bore, shaft : Value
        Inside diameter of the tube, diameter of the air shaft [m].
    positive_length : Value
        Length of the positive chamber without volume spacers [m]: bottomed out where travel spacers set the travel,
        topped out where the shaft does (the end that a travel change leaves alone).
    negative_length : Value
        Length of the negative chamber topped out, without travel spacers [m].
    volume_spacer : Value
        Volume one volume spacer takes [m³].
    most_volume_spacers : int
        Most the chamber takes, whatever the travel.
    positive_oil, negative_oil : Value
        Oil or grease lying in the chambers [m³].
    pressure_gauge : Span
        Permitted charge, gauge, topped out [Pa].
    negative_gauge : Value or None
        Usual charge of a negative chamber with its own valve, gauge, topped out [Pa]; None where the transfer port
        fills it. With one the transfer port means nothing.
    negative_valve : Valve
        How it is charged then.
    negative_coil : NegativeCoil or None
    second : FloatingPiston or None
    kind, called, section : str
        What a table of spring kinds knows it by, what sentences call it, and where a spec sheet says it.
    shaft_role : Role
        Of the shaft that belongs to it.
    holds_air : bool
        It is charged with gas.
    coils, most_preload_spacers
        None: only a coil spring has them.
    """

    bore: Value
    shaft: Value
    positive_length: Value
    negative_length: Value
    volume_spacer: Value
    most_volume_spacers: int
    positive_oil: Value
    negative_oil: Value
    pressure_gauge: Span
    transfer_port: TransferPort
    negative_gauge: Value | None = None
    negative_valve: Valve = AFTER
    negative_coil: NegativeCoil | None = None
    second: FloatingPiston | None = None

    kind: ClassVar[Literal["air"]] = "air"
    called: ClassVar[str] = "air"
    section: ClassVar[str] = "spring"  # of a sheet
    shaft_role: ClassVar[Role] = Role.AIR_SHAFT
    holds_air: ClassVar[bool] = True
    coils: ClassVar[tuple[()]] = ()
    most_preload_spacers: ClassVar[int] = 0

    @property
    def own_valves(self) -> tuple[OwnValve, ...]:
        """The chambers that have one."""
        owns = []
        if self.negative_gauge is not None:
            owns.append(OwnValve("negative_gauge", self.negative_gauge, self.negative_valve))
        if self.second is not None:
            owns.append(OwnValve("second_gauge", self.second.pressure_gauge, self.second.valve))
        return tuple(owns)
