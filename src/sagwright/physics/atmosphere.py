"""The standard atmosphere of ISO 2533:1975, up to 11 km.

The standard counts in geopotential height, maps in geometric height. Functions say which one they take; the
one for people, `ambient_abs`, takes the altitude of a map.
"""

from __future__ import annotations

from typing import Final

from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.numeric import Real, require_within

SEA_LEVEL_TEMPERATURE: Final = 288.15  # K
LAPSE: Final = 0.0065  # K per geopotential metre
_GRAVITY: Final = 9.80665  # m/s²
EARTH_RADIUS: Final = 6_356_766.0  # m, nominal, ties the two heights together
LOWEST, HIGHEST = -2_000.0, 11_000.0  # m, geopotential: the tables' lower end, and the top of the layer


def geopotential(geometric_height: Real) -> Real:
    """Geopotential height [m] of a geometric one [m]: H = r Z/(r + Z)."""
    return EARTH_RADIUS * geometric_height / (EARTH_RADIUS + geometric_height)


def geometric(geopotential_height: Real) -> Real:
    """Geometric height [m] of a geopotential one [m], the inverse of `geopotential`."""
    return EARTH_RADIUS * geopotential_height / (EARTH_RADIUS - geopotential_height)


def temperature(geopotential_height: Real) -> Real:
    """Standard temperature [K]: T = T0 − L H.

    Raises
    ------
    OutOfRange
        Outside −2 to 11 km of geopotential height [m].
    """
    require_within(LOWEST, HIGHEST, altitude=geopotential_height)
    return SEA_LEVEL_TEMPERATURE - LAPSE * geopotential_height


def pressure_at_altitude_abs(geopotential_height: Real) -> Real:
    """Standard air pressure [Pa]: p = p0 (T/T0)^(g/(R L)).

    Raises
    ------
    OutOfRange
        Outside −2 to 11 km of geopotential height [m].

    References
    ----------
    [iso-2533], which equals the US Standard Atmosphere 1976 at these heights.
    """
    exponent = _GRAVITY / (R_AIR * LAPSE)
    ratio: Real = (temperature(geopotential_height) / SEA_LEVEL_TEMPERATURE) ** exponent
    return AMBIENT_ABS * ratio


def density(geopotential_height: Real) -> Real:
    """Standard air density [kg/m³], of dry air as an ideal gas; range as `temperature`."""
    return pressure_at_altitude_abs(geopotential_height) / (R_AIR * temperature(geopotential_height))


def ambient_abs(altitude: Real) -> Real:
    """Standard air pressure [Pa] at an altitude as a map gives it: geometric, above sea level [m].

    The weather moves the real pressure about it by some 30 hPa; a barometer knows better.

    Raises
    ------
    OutOfRange
        Outside −2 to 11 km of geopotential height.
    """
    return pressure_at_altitude_abs(geopotential(altitude))
