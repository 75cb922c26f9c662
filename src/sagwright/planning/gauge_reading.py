"""What a gauge's reading means: through the hose, at another temperature, in other air."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from sagwright.domain import measuring
from sagwright.domain.gauge_reading import GaugeClass, PressureAnswer, PressureQuestion
from sagwright.domain.intake import Surroundings
from sagwright.domain.value import Measured
from sagwright.errors import OutOfRange
from sagwright.physics import gauge
from sagwright.physics.atmosphere import ambient_abs
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.physics.gauge import GaugeAccuracy, GaugePlace
from sagwright.physics.numeric import Real
from sagwright.physics.uncertainty import Doubtful, Inputs, propagate
from sagwright.planning.spring.uncertainty import PUMP_INPUT

BIASES: Final = {GaugeClass.DIGITAL: measuring.PUMP_BIAS, GaugeClass.DIAL: measuring.DIAL_BIAS}


def surroundings(
    *, temperature: float | None = None, altitude: float | None = None, air_pressure_abs: float | None = None
) -> Surroundings:
    """Where something is: 20 °C at sea level unless given otherwise.

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


def answer_pressure(question: PressureQuestion) -> PressureAnswer:
    """The answers to a question about a reading, each with its standard uncertainty.

    The gauge's scatter is new in every reading, its bias the same in what one pump reads here, there and again. A
    volume and a temperature are doubted as TRADE practice measures them; the air around is taken as said.

    Raises
    ------
    OutOfRange
        If a temperature, a volume or the reading cannot be.
    """
    result = propagate(lambda cases: np.stack(np.broadcast_arrays(*_numbers(question, cases))), _inputs(question))
    absolute, *pump, there, set_here, warms = map(Measured, result.values.tolist(), result.u.tolist())
    before, again, taken = pump or (None, None, None)
    return PressureAnswer(question, absolute, before, again, taken, there, set_here, warms)


def _inputs(question: PressureQuestion) -> dict[str, Doubtful]:
    bias = (PUMP_INPUT, BIASES[question.gauge].u)
    here, there = question.here.temperature, question.there.temperature
    elsewhere = "thermometer there" if question.there != question.here else "thermometer here"
    inputs = {
        "reading": Doubtful(question.reading_gauge, (bias, ("scatter", measuring.PUMP_SCATTER.u))),
        "again": Doubtful(0.0, ((PUMP_INPUT, -bias[1]), ("scatter again", measuring.PUMP_SCATTER.u))),
        "here": Doubtful(here, (("thermometer here", measuring.THERMOMETER.u),)),
        "there": Doubtful(there, ((elsewhere, measuring.THERMOMETER.u),)),
    }
    if question.pump is not None:
        hose, joined = question.pump.hose, question.pump.joined
        inputs["hose"] = Doubtful(hose, (("hose", _volume_u(measuring.SYRINGE, hose)),))
        inputs["joined"] = Doubtful(joined, (("chamber", _volume_u(measuring.BOTTLE, joined)),))
    return inputs


def _volume_u(by: measuring.Accuracy, volume: float) -> float:
    """Standard uncertainty of a volume as measured [m³]; of a small one that of any volume."""
    return min(by.u, measuring.VOLUME.u * volume)


def _numbers(question: PressureQuestion, cases: Inputs) -> Iterator[Real]:
    """The numbers of an answer in its order; those of a pump where there is one."""
    here, there = (
        GaugePlace(cases[name], where.ambient_abs)
        for name, where in (("here", question.here), ("there", question.there))
    )
    meter = GaugeAccuracy(AMBIENT_ABS if question.sealed else None)
    reading, again = cases["reading"], cases["again"]
    absolute = meter.absolute(reading, ambient_abs=here.ambient_abs)
    yield absolute
    if question.pump is not None:
        hose, joined, start = cases["hose"], cases["joined"], question.pump.hose_gauge
        yield gauge.before_connecting(reading, hose_volume=hose, joined_volume=joined, hose_start=start)
        yield gauge.after_connecting(reading, hose_volume=hose, joined_volume=joined) + again
        yield gauge.share_taken(hose_volume=hose, joined_volume=joined)
    yield gauge.elsewhere(reading, here=here, there=there, gauge=meter) + again
    yield gauge.elsewhere(reading, here=there, there=here, gauge=meter) + again
    yield absolute / here.temperature
