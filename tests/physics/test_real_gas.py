"""Real air against CoolProp, and the ideal gas against both."""

from __future__ import annotations

import numpy as np
import pytest

from sagwright.errors import OutOfRange
from sagwright.physics import real_gas
from tests.reference.fluids import Properties
from tests.reference.real_air_fit import fit

BAR = 1e5
STARTS = [(c + 273.15, bar * BAR) for c in (-10.0, 20.0, 50.0) for bar in (1.0, 6.0, 15.0, 35.0)]

# Air, compressibility factor. CoolProp 8.0.0 (Lemmon et al. 2000): °C, bar abs, Z.
COMPRESSIBILITY = [
    (-10, 1, 0.99927),
    (-10, 10, 0.99299),
    (-10, 20, 0.98663),
    (-10, 35, 0.97826),
    (0, 10, 0.99435),
    (20, 1, 0.99963),
    (20, 5, 0.99820),
    (20, 10, 0.99654),
    (20, 15, 0.99502),
    (20, 20, 0.99363),
    (20, 25, 0.99237),
    (20, 35, 0.99022),
    (50, 10, 0.99887),
    (50, 20, 0.99819),
    (50, 35, 0.99793),
]

# Compression of a closed volume of air from 20 °C. CoolProp 8.0.0: bar abs, V1/V2, isothermal bar,
# isentropic bar and K, and the error of ideal air with γ = 1.4 in %.
COMPRESSIONS = [
    (6, 2, 11.9768, 15.9591, 387.96, -0.78),
    (6, 3, 17.9338, 28.3585, 456.84, -1.50),
    (8, 2, 15.9608, 21.3458, 388.49, -1.09),
    (15, 2, 29.8865, 40.4916, 390.35, -2.24),
    (15, 3, 44.7097, 73.1538, 462.35, -4.54),
]

# Air set at 20 °C and brought to another temperature. CoolProp 8.0.0: bar gauge, °C, real and ideal bar
# gauge.
CONSTANT_VOLUME = [
    (6.0, -10, 5.2697, 5.2823),
    (8.0, -10, 7.0568, 7.0776),
    (8.0, 0, 7.3713, 7.3851),
    (8.0, 40, 8.6284, 8.6149),
    (15.0, 50, 16.7022, 16.6387),
]


def test_the_coefficients_are_those_of_the_fit(PropsSI: Properties) -> None:
    again = fit(PropsSI)
    ours = (real_gas.R, *real_gas.SECOND_VIRIAL, *real_gas.THIRD, *real_gas.HEAT_CAPACITY)
    fitted = (again.gas_constant, *again.second, *again.third, *again.heat_capacity)
    assert ours == pytest.approx(fitted, rel=0, abs=2e-6)


@pytest.mark.parametrize(("celsius", "bar", "factor"), COMPRESSIBILITY)
def test_compressibility_table(celsius: int, bar: int, factor: float) -> None:
    T = celsius + 273.15
    assert real_gas.compressibility(real_gas.gas_density(bar * BAR, T), T) == pytest.approx(factor, abs=1e-4)


def test_compressibility_departs_from_one_by_at_most_two_percent_in_range() -> None:
    # CoolProp 8.0.0: |Z − 1| ≤ 2.2 % from −10 to 50 °C and 1 to 35 bar; ≤ 0.64 % at 20 °C up to 20 bar.
    T, p = np.meshgrid(np.linspace(263.15, 323.15, 13), np.linspace(1, 35, 35) * BAR)
    departure = np.abs(real_gas.compressibility(real_gas.gas_density(p, T), T) - 1)
    assert 0.021 < departure.max() < 0.0221
    mild = np.abs(real_gas.compressibility(real_gas.gas_density(20 * BAR, 293.15), 293.15) - 1)
    assert 0.0063 < mild < 0.0065


@pytest.mark.parametrize("row", COMPRESSIONS)
def test_compression_table(row: tuple[float, ...]) -> None:
    bar, ratio, slow, fast, kelvin, error_percent = row
    p1 = bar * BAR
    assert real_gas.isothermal(p1, temperature=293.15, ratio=ratio) == pytest.approx(slow * BAR, rel=2e-4)
    pressure, temperature = real_gas.isentropic(p1, temperature=293.15, ratio=ratio)
    assert pressure == pytest.approx(fast * BAR, rel=5e-4)
    assert temperature == pytest.approx(kelvin, abs=0.1)
    error = real_gas.ideal_error(p1, temperature=293.15, ratio=ratio, n=1.4)
    assert 100 * error == pytest.approx(error_percent, abs=0.05)


@pytest.mark.parametrize(("bar_gauge", "celsius", "real", "ideal"), CONSTANT_VOLUME)
def test_constant_volume_table(bar_gauge: float, celsius: int, real: float, ideal: float) -> None:
    p1, T2 = bar_gauge * BAR + 101_325, celsius + 273.15
    warmed = (real_gas.isochoric(p1, temperature=293.15, to=T2) - 101_325) / BAR
    assert warmed == pytest.approx(real, abs=0.003)
    plain = (p1 * T2 / 293.15 - 101_325) / BAR
    assert plain == pytest.approx(ideal, abs=1e-4)
    assert plain == pytest.approx(real, rel=5e-3)


@pytest.mark.parametrize(("temperature", "p1"), STARTS)
@pytest.mark.parametrize("ratio", [1.2, 2.0, 3.0])
def test_every_compression_in_range_agrees_with_coolprop(
    temperature: float, p1: float, ratio: float, PropsSI: Properties
) -> None:
    # CoolProp's air; the promise is 0.5 %, what is kept is 0.05 %.
    density = PropsSI("D", "T", temperature, "P", p1, "Air") * ratio
    entropy = PropsSI("S", "T", temperature, "P", p1, "Air")
    slow = PropsSI("P", "T", temperature, "D", density, "Air")
    fast = PropsSI("P", "S", entropy, "D", density, "Air")
    assert real_gas.isothermal(p1, temperature=temperature, ratio=ratio) == pytest.approx(slow, rel=5e-4)
    found, _ = real_gas.isentropic(p1, temperature=temperature, ratio=ratio)
    assert found == pytest.approx(fast, rel=5e-4)


def test_entropy_obeys_maxwell() -> None:
    # (∂s/∂v)_T = (∂p/∂T)_v, whatever the coefficients: pressure and entropy come from one potential.
    rho, T, d = 60.0, 320.0, 1e-3
    by_volume = (real_gas.entropy(rho + d, T) - real_gas.entropy(rho - d, T)) / (1 / (rho + d) - 1 / (rho - d))
    by_heat = (real_gas.real_pressure_abs(rho, T + d) - real_gas.real_pressure_abs(rho, T - d)) / (2 * d)
    assert by_volume * real_gas.R == pytest.approx(by_heat, rel=1e-6)


def test_the_correction_runs_between_its_ends() -> None:
    grades = [float(real_gas.correction(8 * BAR, temperature=293.15, ratio=2.5, n=n)) for n in (1.0, 1.2, 1.4)]
    assert grades[0] < 1 < grades[2]
    assert grades[1] == pytest.approx(np.sqrt(grades[0] * grades[2]), rel=1e-12)


def test_thin_air_is_ideal() -> None:
    assert real_gas.ideal_error(1000.0, temperature=300.0, ratio=1.5, n=1.0) == pytest.approx(0, abs=1e-5)


def test_arrays_give_what_numbers_give() -> None:
    p1, ratio = np.array([2e5, 9e5, 30e5]), np.array([1.1, 2.0, 2.9])
    pressures, temperatures = real_gas.isentropic(p1, temperature=293.15, ratio=ratio)
    for i in range(3):
        pressure, temperature = real_gas.isentropic(float(p1[i]), temperature=293.15, ratio=float(ratio[i]))
        assert pressure == pytest.approx(np.asarray(pressures)[i], rel=1e-10)
        assert temperature == pytest.approx(np.asarray(temperatures)[i], rel=1e-10)


@pytest.mark.parametrize(
    ("p1", "temperature", "ratio"),
    [(8e5, 200.0, 2.0), (8e5, 600.0, 2.0), (35e5, 263.15, 3.5), (-1.0, 293.0, 2.0), (8e5, 293.0, 0.0)],
)
def test_what_the_fit_does_not_cover_is_refused(p1: float, temperature: float, ratio: float) -> None:
    with pytest.raises(OutOfRange):
        real_gas.isothermal(p1, temperature=temperature, ratio=ratio)


def test_a_compression_that_ends_too_hot_is_refused() -> None:
    with pytest.raises(OutOfRange, match="temperature"):
        real_gas.isentropic(1e5, temperature=323.15, ratio=6.0)


# Air and nitrogen, CoolProp 8.0.0: °C, bar abs, cp/cv of air, isentropic exponent of air, Z and cp/cv of nitrogen.
HEAT_RATIOS = [
    (-10, 1, 1.4031, 1.4021, 0.99942, 1.4021),
    (-10, 10, 1.4246, 1.4151, 0.99444, 1.4233),
    (-10, 20, 1.4491, 1.4316, 0.98948, 1.4473),
    (-10, 35, 1.4870, 1.4603, 0.98322, 1.4839),
    (0, 10, 1.4223, 1.4147, 0.99574, 1.4212),
    (20, 1, 1.4019, 1.4014, 0.99976, 1.4014),
    (20, 5, 1.4093, 1.4068, 0.99885, 1.4086),
    (20, 10, 1.4184, 1.4139, 0.99782, 1.4177),
    (20, 15, 1.4277, 1.4214, 0.99690, 1.4267),
    (20, 20, 1.4369, 1.4293, 0.99611, 1.4358),
    (20, 25, 1.4462, 1.4375, 0.99544, 1.4449),
    (20, 35, 1.4648, 1.4551, 0.99447, 1.4631),
    (50, 10, 1.4136, 1.4124, 1.00000, 1.4135),
    (50, 20, 1.4280, 1.4267, 1.00039, 1.4277),
    (50, 35, 1.4495, 1.4501, 1.00168, 1.4488),
]


@pytest.mark.parametrize("row", HEAT_RATIOS)
def test_the_fitted_airs_isentropic_exponent_is_that_of_real_air(row: tuple[float, ...]) -> None:
    # −dln p/dln v at constant entropy, by a small compression of the fitted air; four digits are tabulated.
    celsius, bar, _, exponent, _, _ = row
    T, ratio = celsius + 273.15, 1.002
    above, _ = real_gas.isentropic(bar * BAR, temperature=T, ratio=ratio)
    below, _ = real_gas.isentropic(bar * BAR, temperature=T, ratio=1 / ratio)
    assert np.log(above / below) / (2 * np.log(ratio)) == pytest.approx(exponent, abs=2e-3)


@pytest.mark.parametrize("row", HEAT_RATIOS)
def test_the_fitted_airs_ratio_of_heat_capacities_is_that_of_real_air(row: tuple[float, ...]) -> None:
    # cp/cv is the isentropic exponent over −dln p/dln v at constant temperature, whatever the gas.
    celsius, bar, heats, _, _, _ = row
    T, ratio = celsius + 273.15, 1.002
    fast = [real_gas.isentropic(bar * BAR, temperature=T, ratio=r)[0] for r in (ratio, 1 / ratio)]
    slow = [real_gas.isothermal(bar * BAR, temperature=T, ratio=r) for r in (ratio, 1 / ratio)]
    slopes = [np.log(ends[0] / ends[1]) for ends in (fast, slow)]
    assert slopes[0] / slopes[1] == pytest.approx(heats, abs=2e-3)


@pytest.mark.parametrize("row", HEAT_RATIOS)
def test_nitrogen_in_a_damper_is_as_near_to_ideal_as_the_air_that_is_computed(
    row: tuple[float, ...], PropsSI: Properties
) -> None:
    # CoolProp's nitrogen (Span et al. 2000) against its table, and against our air: what a damper's gas is off by.
    celsius, bar, _, _, factor, heats = row
    T, p = celsius + 273.15, bar * BAR
    assert PropsSI("Z", "T", T, "P", p, "Nitrogen") == pytest.approx(factor, abs=1e-4)
    found = PropsSI("C", "T", T, "P", p, "Nitrogen") / PropsSI("O", "T", T, "P", p, "Nitrogen")
    assert found == pytest.approx(heats, abs=1e-4)
    assert abs(factor - 1.0) <= 0.017
    ours = float(np.asarray(real_gas.compressibility(real_gas.gas_density(p, T), T)))
    assert ours == pytest.approx(factor, abs=0.006)
