"""A coil spring in a fork: its coils, seats and preload; and how each coil on a shelf would do for a load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from sagwright.domain.item import Role
from sagwright.domain.value import Measured, Value


@dataclass(frozen=True, slots=True)
class WoundCoil:
    """How a coil is made: wire and mean diameter [m], all its turns, free length [m], material, ends ground or not."""

    wire: Value
    diameter: Value
    turns: Value
    free_length: Value
    material: str
    ground: bool = True

    @property
    def solid(self) -> float:
        """Length with all turns touching [m]: Nt·d with ground ends, one wire more without."""
        return (self.turns.si + (0.0 if self.ground else 1.0)) * self.wire.si


@dataclass(frozen=True, slots=True)
class CoilOnOffer:
    """One coil on the shelf: its rate [N/m] as printed on it, or how it is made, or both.

    `length` is its free length where only the rate is printed [m].
    """

    name: str
    rate: Value | None = None
    wound: WoundCoil | None = None
    length: Value | None = None

    @property
    def free_length(self) -> Value | None:
        """With nothing on it [m]; None while nobody measured it."""
        return self.length if self.wound is None else self.wound.free_length


@dataclass(frozen=True, slots=True)
class CoilQuestion:
    """What a coil is wanted for.

    Attributes
    ----------
    load : float
        Force along the unit at rest [N].
    sag : float
        Wanted [m].
    travel : float
        [m].
    preload : (float, float)
        Least and most the unit takes [m].
    shorten : float
        How much shorter the travel is to be made by spacers under the top-out [m].
    """

    load: float
    sag: float
    travel: float
    preload: tuple[float, float]
    shorten: float = 0.0


@dataclass(frozen=True, slots=True)
class CoilChoice:
    """How one coil would do, at the preload that brings it nearest to the sag.

    Attributes
    ----------
    coil : CoilOnOffer
    rate : Measured
        [N/m].
    preload : float
        To turn in, or to put into the stack [m].
    sag : Measured
        What that gives [m].
    topped_out, full_travel : float
        Force at full extension and at full travel [N].
    reserve : float or None
        Before the coil is solid at full travel [m]; below 0 it is coil-bound. None where nobody says how it is made.
    gaps : float or None
        Sum of the gaps that should be left between its turns [m].
    stress : float or None
        Largest shear in the wire at full travel [Pa].
    yield_ratio : float or None
        The largest shear over that at which the wire takes a set; None without figures for the material.
    buckles_at : float or None
        Compression from its free length at which it bows out if nothing guides it [m]; infinite where it never does.
    """

    coil: CoilOnOffer
    rate: Measured
    preload: float
    sag: Measured
    topped_out: float
    full_travel: float
    reserve: float | None = None
    gaps: float | None = None
    stress: float | None = None
    yield_ratio: float | None = None
    buckles_at: float | None = None

    @property
    def bound(self) -> bool:
        """Whether it goes solid before full travel."""
        return self.reserve is not None and self.reserve < 0


@dataclass(frozen=True, slots=True)
class CoilAnswer:
    """Every coil, nearest to the sag first, those that go solid last; and the travel there is [m]."""

    question: CoilQuestion
    travel: float
    choices: tuple[CoilChoice, ...]


@dataclass(frozen=True, slots=True)
class PreloadStack:
    """What stands between the coil and its cap.

    Attributes
    ----------
    height : Value
        Of one preload spacer [m].
    most : int
        Most of them that fit; 0 where there are none.
    range : Value
        How far the adjuster presses the coil, from fully out to fully in [m]; 0 where there is no adjuster.
    per_turn : Value
        How far one turn of it goes [m].
    """

    height: Value
    most: int
    range: Value
    per_turn: Value


@dataclass(frozen=True, slots=True)
class CoilSpring:
    """A coil on a shaft inside its stanchion.

    Attributes
    ----------
    coils : tuple of CoilOnOffer
        What the unit may take, each by its own name.
    seats : Value
        Distance between the coil's seats, bottomed out, no preload spacers in and the adjuster out [m]: the end that a
        travel change leaves alone, because the lowers stand at the same place then.
    bore, shaft : Value
        Inside diameter of the stanchion around the coil, diameter of the shaft that carries it [m].
    stack : PreloadStack
    guided : bool
        Whether a guide or a sleeve keeps the coil from bowing out.
    kind, called, section : str
        What a table of spring kinds knows it by, what sentences call it, and where a spec sheet says it.
    shaft_role : Role
        Of the shaft that belongs to it.
    holds_air : bool
        It is charged with gas.
    most_volume_spacers, own_valves
        None: only an air spring has them.
    """

    coils: tuple[CoilOnOffer, ...]
    seats: Value
    bore: Value
    shaft: Value
    stack: PreloadStack
    guided: bool = True

    kind: ClassVar[Literal["coil"]] = "coil"
    called: ClassVar[str] = "a coil"
    section: ClassVar[str] = "coil_spring"  # of a sheet
    shaft_role: ClassVar[Role] = Role.SPRING_SHAFT
    holds_air: ClassVar[bool] = False
    most_volume_spacers: ClassVar[int] = 0
    own_valves: ClassVar[tuple[()]] = ()

    @property
    def most_preload_spacers(self) -> int:
        """That fit on top of the coil."""
        return self.stack.most

    def named(self, name: str) -> CoilOnOffer:
        """The coil of that name.

        Raises
        ------
        KeyError
            If there is none.
        """
        for coil in self.coils:
            if coil.name == name:
                return coil
        raise KeyError(name)
