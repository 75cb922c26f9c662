r"""Dry air as it is: compressibility and entropy of a dense gas, and how far the ideal gas is off.

.. math:: Z = 1 + r \sum b_i t^{-i} + r^2 \sum c_i t^{-i}, \qquad t = T / 300\,\mathrm{K}, \quad
          r = \rho / (100\,\mathrm{kg/m^3})

with the heat capacity of the thin gas :math:`c_v / R = \sum a_i t^i`; entropy follows from both. The twelve
coefficients are our own least-squares fit to numbers computed with CoolProp 8.0.0, whose air is the mixture model of
[lemmon-2000]. They are no published table.

Valid for 250 to 560 K and up to 150 kg/m³, that is compressions of up to 3:1, slow or fast, that start
between −10 and 50 °C and 1 and 35 bar: Z within 2·10⁻⁴, and pressures after a compression within 0.05 % of
CoolProp.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from sagwright.physics.numeric import Real, increasing_root, positive, require_within

R: Final = 287.047491  # J/(kg·K), of the fitted air
SECOND_VIRIAL: Final = (0.1219116, -0.0797804, -0.0846157, 0.0165669)
THIRD: Final = (0.0162862, -0.0038234, 0.0046710)
HEAT_CAPACITY: Final = (2.4674887, 0.1396759, -0.2723965, 0.2057953, -0.0402109)
T_UNIT: Final = 300.0  # K
DENSITY_UNIT: Final = 100.0  # kg/m³
TEMPERATURES: Final = (250.0, 560.0)  # K
DENSEST: Final = 150.0  # kg/m³
_GAMMA: Final = 1.4
"""Ratio of heat capacities of the ideal air that is compared with [-]."""


def compressibility(density: Real, temperature: Real) -> Real:
    """Z = p/(ρRT) of dry air.

    Parameters
    ----------
    density : float or array, 0 to 150 [kg/m³]
    temperature : float or array, 250 to 560 [K]

    Raises
    ------
    OutOfRange
        Outside these ranges.
    """
    _require_range(density, temperature)
    return 1.0 + _excess(density, temperature)


def real_pressure_abs(density: Real, temperature: Real) -> Real:
    """Absolute pressure of dry air [Pa]; arguments and errors as `compressibility`."""
    return compressibility(density, temperature) * density * R * temperature


def gas_density(pressure_abs: Real, temperature: Real) -> Real:
    """Density of dry air at an absolute pressure > 0 [Pa] and a temperature of 250 to 560 K [kg/m³].

    Raises
    ------
    OutOfRange
        Outside these ranges, or where the gas would be denser than 150 kg/m³.
    """
    positive(pressure_abs=pressure_abs)
    require_within(*TEMPERATURES, temperature=temperature)
    ideal = pressure_abs / (R * temperature)

    def residual(rho: Real) -> tuple[Real, Real]:
        ratio = rho / ideal
        excess = _excess(rho, temperature)
        return ratio * (1.0 + excess) - 1.0, (1.0 + 2.0 * excess) / ideal

    found = increasing_root(residual, 0.5 * ideal, 1.5 * ideal, start=ideal, tolerance=1e-10)
    require_within(0.0, DENSEST, density=found)
    return found


def entropy(density: Real, temperature: Real) -> Real:
    """Specific entropy over R, counted from an arbitrary zero; arguments and errors as `compressibility`."""
    _require_range(density, temperature)
    return _entropy(density, temperature)


def isothermal(p1_abs: Real, *, temperature: Real, ratio: Real) -> Real:
    """Absolute pressure after a slow compression by `ratio` = V1/V2 [Pa]; errors as `gas_density`."""
    positive(ratio=ratio)
    return real_pressure_abs(gas_density(p1_abs, temperature) * ratio, temperature)


def isochoric(p1_abs: Real, *, temperature: Real, to: Real) -> Real:
    """Absolute pressure of a closed volume that goes from one temperature to another [Pa]; errors as
    `gas_density`."""
    return real_pressure_abs(gas_density(p1_abs, temperature), to)


def isentropic(p1_abs: Real, *, temperature: Real, ratio: Real) -> tuple[Real, Real]:
    """Absolute pressure [Pa] and temperature [K] after a fast compression by `ratio` = V1/V2 without heat
    or loss.

    Raises
    ------
    OutOfRange
        If an end of the compression lies outside the range of `compressibility`.
    """
    positive(ratio=ratio)
    before = gas_density(p1_abs, temperature)
    after = before * ratio
    level = _entropy(before, temperature)

    def residual(T: Real) -> tuple[Real, Real]:
        return _entropy(after, T) - level, _series(HEAT_CAPACITY, T_UNIT / np.asarray(T)) / T

    guess = temperature * np.asarray(ratio) ** (_GAMMA - 1.0)
    warm = increasing_root(residual, 0.7 * guess, 1.3 * guess, start=guess, tolerance=1e-8)
    return real_pressure_abs(after, warm), warm


def correction(p1_abs: Real, *, temperature: Real, ratio: Real, n: float) -> Real:
    """Real over ideal pressure after a compression by `ratio` at a polytropic exponent of 1 to 1.4 [-].

    Exact at both ends: at 1 the isothermal ratio, at 1.4 that of real isentropic air to ideal air with γ =
    1.4.
    Between them its logarithm is taken as linear in n, an assumption of ours, since a polytropic exponent
    is itself no property of a gas.
    """
    require_within(1.0, _GAMMA, n=n)
    share = (n - 1.0) / (_GAMMA - 1.0)
    slow = isothermal(p1_abs, temperature=temperature, ratio=ratio) / (p1_abs * ratio)
    fast = isentropic(p1_abs, temperature=temperature, ratio=ratio)[0] / (p1_abs * np.asarray(ratio) ** _GAMMA)
    blended: Real = slow ** (1.0 - share) * fast**share
    return blended


def ideal_error(p1_abs: Real, *, temperature: Real, ratio: Real, n: float) -> Real:
    """How far an ideal gas at a fixed exponent is from real air: ideal/real − 1, negative where it
    under-reads."""
    return 1.0 / correction(p1_abs, temperature=temperature, ratio=ratio, n=n) - 1.0


def _require_range(density: Real, temperature: Real) -> None:
    require_within(0.0, DENSEST, density=density)
    require_within(*TEMPERATURES, temperature=temperature)


def _series(coefficients: tuple[float, ...], t: Real) -> Real:
    """Σ c_i t^-i."""
    total: Real = 0.0
    for coefficient in reversed(coefficients):
        total = total / t + coefficient
    return total


def _excess(density: Real, temperature: Real) -> Real:
    """Z − 1."""
    t, r = temperature / T_UNIT, density / DENSITY_UNIT
    return r * (_series(SECOND_VIRIAL, t) + r * _series(THIRD, t))


def _entropy(density: Real, temperature: Real) -> Real:
    """s/R = ∫cv/(RT) dT − ln ρ − ∫(Z − 1 + T ∂Z/∂T) dρ/ρ."""
    t, r = temperature / T_UNIT, density / DENSITY_UNIT
    thin = HEAT_CAPACITY[0] * np.log(t) + sum(a * t**i / i for i, a in enumerate(HEAT_CAPACITY) if i)
    second = _series(tuple(b * (1 - i) for i, b in enumerate(SECOND_VIRIAL)), t)
    third = _series(tuple(c * (1 - i) for i, c in enumerate(THIRD)), t)
    dense: Real = r * (second + 0.5 * r * third)
    return thin - np.log(r) - dense
