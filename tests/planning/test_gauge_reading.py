"""How well a reading's answers are known, against Monte Carlo and by hand."""

from __future__ import annotations

import numpy as np
import pytest

from sagwright.domain.gauge_reading import GaugeClass, PressureQuestion, Pump
from sagwright.domain.intake import Surroundings
from sagwright.planning.gauge_reading import answer_pressure

PSI = 6894.757293168
PUMP = Pump(3e-6, 190e-6)
HOME = Surroundings()
COLD = Surroundings(temperature=268.15, ambient_abs=80e3)


def question(there: Surroundings = COLD, gauge: GaugeClass = GaugeClass.DIGITAL) -> PressureQuestion:
    return PressureQuestion(78 * PSI, HOME, there, PUMP, gauge=gauge)


@pytest.mark.parametrize(("gauge", "bias"), [(GaugeClass.DIGITAL, 1.5), (GaugeClass.DIAL, 4.0)])
def test_linear_uncertainty_is_that_of_monte_carlo(gauge: GaugeClass, bias: float) -> None:
    draw = np.random.default_rng(7)
    half = np.sqrt(3.0)
    many = 200_000
    off, first, second = (draw.normal(0.0, size * PSI / half, many) for size in (bias, 1.0, 1.0))
    here, there = (draw.normal(t, 1.0 / half, many) for t in (293.15, 268.15))
    hose, chamber = draw.normal(3e-6, 0.5e-6 / half, many), draw.normal(190e-6, 4e-6 / half, many)
    true = 78 * PSI + off + first
    expected = {
        "absolute_abs": true,
        "before_gauge": true * (1 + hose / chamber),
        "reconnected_gauge": true / (1 + hose / chamber) - off + second,
        "taken": hose / (hose + chamber),
        "there_gauge": (true + 101_325) * there / here - 80e3 - off + second,
        "set_here_gauge": (true + 80e3) * here / there - 101_325 - off + second,
        "per_kelvin": (true + 101_325) / here,
    }
    answer = answer_pressure(question(gauge=gauge))
    for name, drawn in expected.items():
        assert getattr(answer, name).u == pytest.approx(float(drawn.std()), rel=0.02), name


def test_the_same_place_adds_no_uncertainty_of_a_thermometer() -> None:
    answer = answer_pressure(question(there=HOME))
    assert answer.there_gauge.value == pytest.approx(78 * PSI)
    assert answer.there_gauge.u == pytest.approx(np.sqrt(2.0) * PSI / np.sqrt(3.0), rel=1e-6)  # two scatters


def test_without_a_pump_nothing_is_said_of_one() -> None:
    answer = answer_pressure(PressureQuestion(78 * PSI, HOME, COLD))
    assert (answer.before_gauge, answer.reconnected_gauge, answer.taken) == (None, None, None)
