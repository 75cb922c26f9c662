"""What a gauge's reading means: through the hose, at another temperature, in other air."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, cast

import numpy as np

from sagwright.domain.gauge_reading import GaugeClass, PressureAnswer, PressureQuestion, PressureU
from sagwright.domain.intake import Surroundings
from sagwright.errors import OutOfRange
from sagwright.physics import gauge
from sagwright.physics.atmosphere import ambient_abs
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.physics.gauge import GaugeAccuracy, GaugePlace
from sagwright.physics.numeric import Real
from sagwright.physics.uncertainty import Doubtful, Inputs, propagate
from sagwright.planning.spring.uncertainty import PSI_PA, PUMP_BIAS, PUMP_INPUT, PUMP_SCATTER

BIASES: Final = {GaugeClass.DIGITAL: PUMP_BIAS, GaugeClass.DIAL: 4.0 * PSI_PA / np.sqrt(3.0)}
"""Of a digital gauge, and of a dial, ±3 to 5 psi [Pa]: common practice, no source."""

HOSE: Final = 0.5e-6 / np.sqrt(3.0)
"""A hose measured with a syringe, ±0.5 ml [m³]: common practice, no source."""

CHAMBER: Final = 4e-6 / np.sqrt(3.0)
"""A chamber measured by letting it into a bottle, ±3 to 5 ml [m³]: common practice, no source."""

LEAST_KNOWN: Final = 0.2
"""A volume is known to a fifth at worst; an assumption of ours."""

THERMOMETER: Final = 1.0 / np.sqrt(3.0)
"""±1 °C [K]: common practice, no source."""

OF_A_PUMP: Final = ("before_gauge", "reconnected_gauge", "taken")
"""What is asked of a pump alone."""


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
    known = [name for name in PressureU.__slots__ if question.pump is not None or name not in OF_A_PUMP]
    absent: dict[str, float | None] = dict.fromkeys(OF_A_PUMP)
    numbers, uncertainties = (absent | dict(zip(known, row.tolist(), strict=True)) for row in (result.values, result.u))
    return PressureAnswer(question=question, u=PressureU(**cast(Any, uncertainties)), **cast(Any, numbers))


def _inputs(question: PressureQuestion) -> dict[str, Doubtful]:
    bias = (PUMP_INPUT, BIASES[question.gauge])
    here, there = question.here.temperature, question.there.temperature
    elsewhere = "thermometer there" if question.there != question.here else "thermometer here"
    inputs = {
        "reading": Doubtful(question.reading_gauge, (bias, ("scatter", PUMP_SCATTER))),
        "again": Doubtful(0.0, ((PUMP_INPUT, -bias[1]), ("scatter again", PUMP_SCATTER))),
        "here": Doubtful(here, (("thermometer here", THERMOMETER),)),
        "there": Doubtful(there, ((elsewhere, THERMOMETER),)),
    }
    if question.pump is not None:
        hose, joined = question.pump.hose, question.pump.joined
        inputs["hose"] = Doubtful(hose, (("hose", min(HOSE, LEAST_KNOWN * hose)),))
        inputs["joined"] = Doubtful(joined, (("chamber", min(CHAMBER, LEAST_KNOWN * joined)),))
    return inputs


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
