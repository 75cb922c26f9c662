"""A closed mass of gas: ideal, at a fixed polytropic exponent."""

from __future__ import annotations

from typing import Final

import numpy as np

from sagwright.physics.numeric import Real, positive, require_within

R_AIR: Final = 287.05287
"""Specific gas constant of dry air [J/(kg·K)], exact in [iso-2533]."""

AMBIENT_ABS: Final = 101_325.0
"""Standard air pressure at sea level [Pa], exact in [iso-2533]."""

EXPONENTS: Final = (1.0, 1.67)
"""Polytropic exponents taken: 1 slow (isothermal), 1.4 fast (isentropic air), up to a monatomic gas."""


def mass_of(pressure_abs: Real, volume: Real, *, temperature: Real) -> Real:
    """Mass of air that fills a volume at a pressure, ideal gas.

    Parameters
    ----------
    pressure_abs : float or array, > 0 [Pa]
    volume : float or array, > 0 [m³]
    temperature : float or array, > 0 [K]

    Returns
    -------
    float or array [kg]

    Raises
    ------
    OutOfRange
        If an argument is not finite and greater than 0.

    Notes
    -----
    Valid for: air near room temperature; against real air [lemmon-2000] the density is off by at most 0.64 % at
    20 °C up to 20 bar.

    References
    ----------
    [iso-2533] for the gas constant, [lemmon-2000] for real air.
    """
    positive(pressure_abs=pressure_abs, volume=volume, temperature=temperature)
    return pressure_abs * volume / (R_AIR * temperature)


def pressure_of(mass: Real, volume: Real, *, temperature: Real) -> Real:
    """Absolute pressure of a mass of air in a volume, ideal gas; the inverse of `mass_of`, with its limits [Pa]."""
    positive(mass=mass, volume=volume, temperature=temperature)
    return mass * R_AIR * temperature / volume


def polytropic_pressure(p1_abs: Real, v1: Real, *, v2: Real, n: float) -> Real:
    r"""Absolute pressure of a fixed mass of gas after its volume changes.

    .. math:: p_2 = p_1 (v_1 / v_2)^n

    Parameters
    ----------
    p1_abs : float or array, > 0 [Pa]
    v1, v2 : float or array, > 0 [m³]
    n : float
        Polytropic exponent, 1 to 1.67.

    Returns
    -------
    float or array [Pa]

    Raises
    ------
    OutOfRange
        If an argument is not finite and greater than 0, or n is outside its range.

    Notes
    -----
    Valid for: ideal gas in a closed chamber. With n = 1.4 real air is under-read by 0.8 % (6 bar, 2:1) to 4.5 %
    (15 bar, 3:1), against real air [lemmon-2000].
    """
    positive(p1_abs=p1_abs, v1=v1, v2=v2)
    require_within(*EXPONENTS, n=n)
    ratio: Real = (v1 / v2) ** n
    return p1_abs * ratio


def polytropic_work(p1_abs: Real, v1: Real, *, v2: Real, n: float) -> Real:
    r"""Work done by a fixed mass of gas on its walls while its volume changes; negative for compression.

    .. math:: W = \int_{v_1}^{v_2} p_1 (v_1 / v)^n \, dv

    Parameters, errors and validity are those of `polytropic_pressure`.

    Returns
    -------
    float or array [J]
    """
    positive(p1_abs=p1_abs, v1=v1, v2=v2)
    require_within(*EXPONENTS, n=n)
    return p1_abs * (v2 - v1) * mean_power(v2 / v1, n)


def mean_power(ratio: Real, n: float) -> Real:
    r"""Mean of v^-n over v from 1 to `ratio`, exact also for n = 1 and for ratio = 1.

    .. math:: \frac{1}{r-1} \int_1^r v^{-n} \, dv = \frac{e^{(1-n)\ln r} - 1}{(1-n) \ln r} \cdot \frac{\ln r}{r - 1}

    Parameters
    ----------
    ratio : float or array, > 0
    n : float

    Returns
    -------
    float or array
    """
    step = np.asarray(ratio, dtype=float) - 1.0
    log = np.log1p(step)
    tilt = _relative(np.expm1, (1.0 - n) * log)
    return np.asarray(tilt * _relative(np.log1p, step))[()]


def _relative(function: np.ufunc, x: Real) -> Real:
    """function(x)/x, and its limit 1 at zero."""
    safe = np.where(x == 0, 1.0, x)
    return np.where(x == 0, 1.0, function(safe) / safe)
