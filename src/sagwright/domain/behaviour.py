"""What a spring does: behaviours with their uncertainty, the options that are compared by them, and curves."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.intake import Aim
from sagwright.domain.setup import Setup
from sagwright.domain.stance import Load
from sagwright.domain.value import Measured, MeasuredColumn


@dataclass(frozen=True, slots=True)
class Behaviour:
    """How a spring behaves under a load.

    Attributes
    ----------
    sag : Measured
        Compression under the load, n = 1 [m].
    sag_fraction : Measured
        Sag over travel, 0 to 1.
    breakaway : Measured
        Force that lifts the unit off its top-out stop, friction included, n = 1 [N].
    mid_stroke_support : Measured
        Force at half travel over the load, at the stroke exponent.
    ramp_up : Measured
        Force at 95 % over force at 50 % of travel, at the stroke exponent.
    capacity : Measured
        Energy to full travel, at the stroke exponent [J].
    """

    sag: Measured
    sag_fraction: Measured
    breakaway: Measured
    mid_stroke_support: Measured
    ramp_up: Measured
    capacity: Measured


@dataclass(frozen=True, slots=True)
class SagBand:
    """Where friction lets the unit rest under a load [m]: reached from above, without friction, and from below."""

    after_lifting: float
    middle: float
    after_pressing: float


@dataclass(frozen=True, slots=True)
class FrictionView:
    """What friction makes of a setup: the band of its sag, and the force that starts it moving [N] as it stands alone
    and with the wheel clamped in it."""

    sag: SagBand
    breakaway: float
    breakaway_with_wheel: float


@dataclass(frozen=True, slots=True)
class Option:
    """One reachable target with what it would do.

    Attributes
    ----------
    setup : Setup
    travel : float
        [m].
    pressure_gauge : Measured or None
        Topped out, in the workshop, once it is set with a gauge [Pa]; None for a coil.
    behaviour : Behaviour
    mismatch : float
        From the aim, in just-noticeable differences, at worst over what as found may turn out to be.
    mismatch_low : float
        From the aim at best, in just-noticeable differences.
    as_found : bool
        What is set from outside stays as found: the pressure is put back, or coil, preload spacers and adjuster stay.
    at_limit : bool
        The pressure of least distance lies outside the permitted range, so the limit is shown.
    permitted : bool
        It can be a target: within the sheet's limits and what the wish pins.
    preload : float or None
        How far a coil is pressed topped out, spacers and adjuster together [m]; None for air.
    """

    setup: Setup
    travel: float
    pressure_gauge: Measured | None
    behaviour: Behaviour
    mismatch: float
    mismatch_low: float
    as_found: bool = False
    at_limit: bool = False
    permitted: bool = True
    preload: float | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """A spring over its travel: compression [m], slow force (n = 1) and stroke force [N], stroke stiffness [N/m],
    absolute pressure at the valve during the stroke [Pa], empty for a coil, energy stored by the stroke [J]."""

    compression: MeasuredColumn
    slow_force: MeasuredColumn
    stroke_force: MeasuredColumn
    stroke_stiffness: MeasuredColumn
    positive_abs: MeasuredColumn
    energy: MeasuredColumn


@dataclass(frozen=True, slots=True)
class Noticeable:
    """Differences a rider just notices: assumed, no source, settable.

    Attributes
    ----------
    sag : float
        Of travel.
    breakaway : float
        [N].
    relative : float
        Of mid-stroke support, ramp-up and capacity.
    """

    sag: float = 0.02
    breakaway: float = 10.0
    relative: float = 0.05


@dataclass(frozen=True, slots=True)
class SpringView:
    """What the spring does, as found and at the target.

    Attributes
    ----------
    load : Load or None
    slow_exponent, stroke_exponent : float
    noticeable : Noticeable
        What distances are counted in.
    as_found : tuple of Behaviour
        One per possible as-found setup; several when something is unknown until open, none when nothing can be said.
    as_found_curve, target_curve : Curve or None
        The as-found one only when it is known.
    aim : Aim
        The aim that was used.
    as_found_friction, target_friction : FrictionView or None
        The as-found one only when it is known.
    as_found_preload : float or None
        How far a coil is pressed topped out, as found [m]; None for air, or where it is not known.
    sag_tells : float or None
        How far the pressure can be off that a sag, read with a rider, points at [Pa].
    ideal_error : float or None
        How far an ideal gas at the stroke's exponent is from real air in the valve's chamber at full travel, ideal/real
        − 1, of the target or else as found; None for a coil, or where real air is not known so far.
    """

    load: Load | None
    slow_exponent: float
    stroke_exponent: float
    noticeable: Noticeable
    aim: Aim
    as_found: tuple[Behaviour, ...] = ()
    as_found_curve: Curve | None = None
    target: Behaviour | None = None
    target_curve: Curve | None = None
    as_found_friction: FrictionView | None = None
    target_friction: FrictionView | None = None
    sag_tells: float | None = None
    as_found_preload: float | None = None
    ideal_error: float | None = None
