r"""Helical compression springs of round wire: rate, stress, solid length, buckling, and the choice of one.

.. math:: k = \frac{G d^4}{8 D^3 N_a}, \qquad C = D/d, \qquad \tau = K \frac{8 F D}{\pi d^3}

References
----------
[budynas-nisbett] ch. 10; [en-13906-1].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.numeric import Real, positive, require_within


class Ends(StrEnum):
    """How the end coils are made; both kinds have one dead turn at each end."""

    GROUND = "closed and ground"
    CLOSED = "closed, not ground"


class Seating(StrEnum):
    """How the ends are held, which decides when a slender spring bows out."""

    PARALLEL = "both on flat parallel seats"
    ONE_PIVOT = "one end free to tilt"
    TWO_PIVOTS = "both ends free to tilt"
    FREE = "one end free"


SEATING_FACTORS = {
    Seating.PARALLEL: 0.5,
    Seating.ONE_PIVOT: 0.7,
    Seating.TWO_PIVOTS: 1.0,
    Seating.FREE: 2.0,
}
"""ν of EN 13906-1, the end-condition constant α of Shigley's table 10-2."""


@dataclass(frozen=True, slots=True)
class Coil:
    """A helical compression spring.

    Attributes
    ----------
    wire, diameter : float or array
        Wire diameter d and mean coil diameter D, outside diameter less one wire [m].
    turns : float or array
        All of them, dead ones included; two of them are dead.
    free_length : float or array
        [m].
    shear_modulus, elastic_modulus : float or array
        G and E of the wire [Pa]; see `sagwright.physics.coil_wire`.
    """

    wire: Real
    diameter: Real
    turns: Real
    free_length: Real
    shear_modulus: Real
    elastic_modulus: Real
    ends: Ends = Ends.GROUND

    @property
    def active(self) -> Real:
        """Turns that give way."""
        return self.turns - 2.0

    @property
    def index(self) -> Real:
        """C = D/d."""
        return self.diameter / self.wire


def check_coil(coil: Coil) -> None:
    """Refuse a spring that cannot be wound or that the formulas do not cover.

    Raises
    ------
    OutOfRange
        If a size or modulus is not above 0, the index is not from 3 to 20, fewer than one turn is active,
        or the spring is solid before anything presses it.
    """
    positive(
        wire=coil.wire,
        diameter=coil.diameter,
        free_length=coil.free_length,
        shear_modulus=coil.shear_modulus,
        elastic_modulus=coil.elastic_modulus,
    )
    require_within(3.0, 20.0, index=coil.index)
    require_within(3.0, 1_000.0, turns=coil.turns)
    room = np.asarray(coil.free_length - solid_length(coil))
    if not np.all(room > 0):
        raise OutOfRange(
            "must be longer than the spring pressed solid", field="free_length", value=str(coil.free_length)
        )


def coil_rate(coil: Coil) -> Real:
    """k = G d⁴/(8 D³ Na) [N/m]; errors as `check_coil`."""
    check_coil(coil)
    return coil.shear_modulus * coil.wire**4 / (8.0 * coil.diameter**3 * coil.active)


def wahl(index: Real) -> Real:
    """Wahl's factor for direct shear and curvature: (4C − 1)/(4C − 4) + 0.615/C."""
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def bergstraesser(index: Real) -> Real:
    """Bergsträsser's factor for the same: (4C + 2)/(4C − 3), that of EN 13906-1 too; within 1.5 % of
    Wahl's."""
    return (4.0 * index + 2.0) / (4.0 * index - 3.0)


def stress(coil: Coil, force: Real, *, factor: Real | None = None) -> Real:
    """Largest shear stress in the wire under a force [Pa].

    `factor` is Bergsträsser's by default; 1 gives the plain torsion that EN 13906-1 compares static loads
    with.
    """
    check_coil(coil)
    k = bergstraesser(coil.index) if factor is None else factor
    return k * 8.0 * force * coil.diameter / (np.pi * coil.wire**3)


def force_at_stress(coil: Coil, shear: Real) -> Real:
    """Force at which the wire reaches a shear stress, by Bergsträsser [N]."""
    return shear / stress(coil, 1.0)


def solid_length(coil: Coil) -> Real:
    """Length with all turns touching [m]: Nt d ground, (Nt + 1) d not ground."""
    return (coil.turns + (0.0 if coil.ends is Ends.GROUND else 1.0)) * coil.wire


def least_gaps(coil: Coil) -> Real:
    """Sum of the gaps that should be left between turns at the largest force [m]: Na (0.0015 D²/d + 0.1 d).

    [en-13906-1] for cold-wound springs; from memory, not seen in print.
    """
    return coil.active * (0.0015 * coil.diameter**2 / coil.wire + 0.1 * coil.wire)


def stroke_left(coil: Coil, *, preload: Real, travel: Real) -> Real:
    """What is left before the spring is solid at full travel [m]; negative: coil-bound before full travel."""
    return coil.free_length - solid_length(coil) - preload - travel


def buckling_length(coil: Coil, *, seating: Seating = Seating.PARALLEL) -> Real:
    """Free length below which the spring never buckles [m]: (π D/ν) √(2(E − G)/(2G + E)).

    [budynas-nisbett] eq. 10-11, the same as the limit of [en-13906-1].
    """
    E, G = coil.elastic_modulus, coil.shear_modulus
    limit: Real = np.pi * coil.diameter / SEATING_FACTORS[seating] * np.sqrt(2.0 * (E - G) / (2.0 * G + E))
    return limit


def buckling_deflection(coil: Coil, *, seating: Seating = Seating.PARALLEL) -> Real:
    """Compression at which the spring bows out if nothing guides it [m]; infinite where it never does.

    [en-13906-1]: L0 (0.5/(1 − G/E)) [1 − √(1 − ((1 − G/E)/(0.5 + G/E)) (π D/(ν L0))²)].
    """
    check_coil(coil)
    ratio = coil.shear_modulus / coil.elastic_modulus
    slender = np.pi * coil.diameter / (SEATING_FACTORS[seating] * coil.free_length)
    under = np.asarray(1.0 - (1.0 - ratio) / (0.5 + ratio) * slender**2)
    bows = coil.free_length * 0.5 / (1.0 - ratio) * (1.0 - np.sqrt(np.maximum(under, 0.0)))
    deflection: Real = np.where(under > 0, bows, np.inf)[()]
    return deflection


def in_series(rates: Sequence[Real]) -> Real:
    """Rate of springs stacked end to end [N/m]."""
    positive(**{f"rate {i}": value for i, value in enumerate(rates, 1)})
    return 1.0 / sum(1.0 / value for value in rates)


def sag(load: Real, *, rate: Real, preload: Real) -> Real:
    """Compression under a load of a unit on a coil that is preloaded by a length [m]; 0 while topped out."""
    positive(rate=rate)
    return np.maximum(0.0, load / rate - preload)


def preload_for_sag(load: Real, *, rate: Real, sag: Real) -> Real:
    """Preload length that gives a sag under a load [m]; negative where even a loose spring is too stiff."""
    positive(rate=rate)
    return load / rate - sag


@dataclass(frozen=True, slots=True)
class CoilFit:
    """A coil of those on the shelf: its place among them, the preload to turn in [m], and the sag that
    gives [m]."""

    place: int
    preload: float
    sag: float


def rank_coils(
    rates: Sequence[float], *, load: float, wanted_sag: float, preload: tuple[float, float]
) -> tuple[CoilFit, ...]:
    """Every coil on the shelf with the preload that brings it nearest to a sag, nearest first.

    Among those that reach the sag, the least preload comes first, since preload adds breakaway.

    Parameters
    ----------
    rates : sequence of float, > 0 [N/m]
    load : float, > 0 [N]
    wanted_sag : float, > 0 [m]
    preload : (float, float)
        Least and most the unit takes [m].

    Raises
    ------
    OutOfRange
        If an argument is not above 0, or the preload range is upside down.
    NoSolution
        If there is no coil.
    """
    positive(load=load, wanted_sag=wanted_sag)
    low, high = preload
    if not 0 <= low <= high:
        raise OutOfRange("must run from 0 or more upwards", field="preload", value=f"{low} to {high}")
    if not rates:
        raise NoSolution("no coil to choose from")
    turned = [float(np.clip(preload_for_sag(load, rate=k, sag=wanted_sag), low, high)) for k in rates]
    reached = [float(sag(load, rate=k, preload=p)) for k, p in zip(rates, turned, strict=True)]
    choices = [CoilFit(i, p, s) for i, (p, s) in enumerate(zip(turned, reached, strict=True))]
    return tuple(sorted(choices, key=lambda c: (round(abs(c.sag - wanted_sag), 9), c.preload)))
