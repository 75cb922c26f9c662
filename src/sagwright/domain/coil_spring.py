"""A coil spring in a fork: the coils it may take, the room between its seats, and what preloads it."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.coil import Shelved
from sagwright.domain.value import Value


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
    coils : tuple of Shelved
        What the unit may take, each by its own name.
    seats : Value
        Distance between the coil's seats, bottomed out, no preload spacers in and the adjuster out [m]: the end that a
        travel change leaves alone, because the lowers stand at the same place then.
    bore, shaft : Value
        Inside diameter of the stanchion around the coil, diameter of the shaft that carries it [m].
    stack : PreloadStack
    guided : bool
        Whether a guide or a sleeve keeps the coil from bowing out.
    """

    coils: tuple[Shelved, ...]
    seats: Value
    bore: Value
    shaft: Value
    stack: PreloadStack
    guided: bool = True

    def named(self, name: str) -> Shelved:
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
