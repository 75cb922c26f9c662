"""What the springs of several setups do over their travel, side by side."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.behaviour import SagBand
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Column, MeasuredColumn


@dataclass(frozen=True, slots=True)
class CurveQuestion:
    """What is asked of each setup.

    Attributes
    ----------
    exponent : float
        Of the stroke, 1 to 1.4.
    points : int
        Of each curve, both ends included.
    load : float or None
        Force along the fork at rest, for the sag [N].
    speed : float or None
        Peak speed of a to-and-fro stroke over most of the travel, for its loop [m/s].
    time_constant : float
        Of heat passing into the walls [s]: assumed unless somebody measured it.
    real_air : bool
        Compressed chambers are corrected for real air.
    """

    exponent: float = 1.2
    points: int = 101
    load: float | None = None
    speed: float | None = None
    time_constant: float = 3.0
    real_air: bool = False


@dataclass(frozen=True, slots=True)
class Loop:
    """One settled to-and-fro stroke: compression [m], force [N], the work lost in it [J], and its period
    [s]."""

    compression: Column
    force: Column
    heat_loss: float
    period: float


@dataclass(frozen=True, slots=True)
class SetupCurve:
    """One setup over its travel.

    Attributes
    ----------
    label : str
    setup : Setup
    travel : float
        [m].
    compression : tuple of float
        [m]; every column below has as many entries.
    slow_force, stroke_force : MeasuredColumn
        n = 1 and n = the exponent [N].
    stiffness : tuple of float
        Of the stroke [N/m].
    energy : tuple of float
        Put in by the stroke [J].
    pressures_abs : tuple of (str, tuple of float)
        Of each chamber by name, during the stroke [Pa].
    legs_force : tuple of float
        What the air in the lower legs adds to the stroke force [N]: an upper bound, because wipers weep.
    legs_force_vented : tuple of float
        Force of the lower legs' air [N] where they stand at the outside air's pressure at rest, under the question's
        load or else topped out, and shut from there on: a lower bound.
    ideal_error : float or None
        How far an ideal gas is off in the positive chamber at full travel, of its absolute pressure: below 0 it
        under-reads; 0 where real air was asked for, None outside the range of its fit.
    sag : SagBand or None
    loop : Loop or None
    """

    label: str
    setup: Setup
    travel: float
    compression: Column
    slow_force: MeasuredColumn
    stroke_force: MeasuredColumn
    stiffness: Column
    energy: Column
    pressures_abs: tuple[tuple[str, Column], ...]
    legs_force: Column
    legs_force_vented: Column
    ideal_error: float | None
    sag: SagBand | None = None
    loop: Loop | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Setups of one sheet, asked one question."""

    program: str
    sheet: Sheet
    question: CurveQuestion
    ambient_abs: float
    curves: tuple[SetupCurve, ...]
