"""What a gauge's reading means: through the hose, at another temperature, in other air."""

from __future__ import annotations

from sagwright.domain.intake import Surroundings
from sagwright.domain.pressure import PressureAnswer, PressureQuestion, Pump
from sagwright.errors import OutOfRange
from sagwright.physics import gauge
from sagwright.physics.atmosphere import ambient_abs
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.physics.gauge import Gauge, Place


def surroundings(
    *, temperature: float | None = None, altitude: float | None = None, air_pressure_abs: float | None = None
) -> Surroundings:
    """Where something is: 20 °C at sea level where nothing else is said.

    Parameters
    ----------
    temperature : float, optional [K]
    altitude : float, optional
        Above sea level, as a map gives it [m].
    air_pressure_abs : float, optional
        As a barometer gives it, instead of the altitude [Pa].

    Raises
    ------
    OutOfRange
        If altitude and air pressure are both given, or the altitude is not in the lowest layer of the
        atmosphere.
    """
    usual = Surroundings()
    if altitude is not None and air_pressure_abs is not None:
        raise OutOfRange("must not stand beside an air pressure", field="altitude", remedy="Give one of the two.")
    air = float(ambient_abs(altitude)) if altitude is not None else air_pressure_abs
    return Surroundings(
        temperature=usual.temperature if temperature is None else temperature,
        ambient_abs=usual.ambient_abs if air is None else air,
    )


def answered(question: PressureQuestion) -> PressureAnswer:
    """The answers to a question about a reading.

    Raises
    ------
    OutOfRange
        If a temperature, a volume or the reading cannot be.
    """
    here, there = _place(question.here), _place(question.there)
    meter = Gauge(AMBIENT_ABS if question.sealed else None)
    reading, pump = question.reading_gauge, question.pump
    absolute = meter.absolute(reading, ambient_abs=here.ambient_abs)
    return PressureAnswer(
        question=question,
        absolute_abs=float(absolute),
        before_gauge=None if pump is None else _before(reading, pump),
        again_gauge=None if pump is None else _again(reading, pump),
        taken=None if pump is None else float(gauge.share_taken(hose_volume=pump.hose, joined_volume=pump.joined)),
        there_gauge=float(gauge.elsewhere(reading, here=here, there=there, gauge=meter)),
        set_here_gauge=float(gauge.elsewhere(reading, here=there, there=here, gauge=meter)),
        per_kelvin=float(absolute) / question.here.temperature,
    )


def _place(where: Surroundings) -> Place:
    return Place(where.temperature, where.ambient_abs)


def _before(reading: float, pump: Pump) -> float:
    return float(
        gauge.before_connecting(reading, hose_volume=pump.hose, joined_volume=pump.joined, hose_start=pump.hose_gauge)
    )


def _again(reading: float, pump: Pump) -> float:
    return float(gauge.after_connecting(reading, hose_volume=pump.hose, joined_volume=pump.joined))
