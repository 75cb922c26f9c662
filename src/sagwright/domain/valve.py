"""How a chamber with a valve of its own is charged, beside the main one."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.value import Span


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
