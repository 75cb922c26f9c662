"""What a pump's gauge shows, what the chamber really holds, and what it will show elsewhere.

A gauge compares with something: a vented one with the air around it, a sealed one with the air shut in its
case when it was made. Chambers are taken as rigid here: the unit stands topped out. The gas is ideal; for
air set at 20 °C between 5 and 15 bar and brought to −10 to 50 °C that is within 0.5 % of the gauge
pressure (CoolProp 8.0.0).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.physics.numeric import Real, positive


@dataclass(frozen=True, slots=True)
class GaugePlace:
    """Where a pressure is read or ridden: temperature of the gas [K], air pressure around [Pa]."""

    temperature: Real = 293.15
    ambient_abs: Real = AMBIENT_ABS


@dataclass(frozen=True, slots=True)
class GaugeAccuracy:
    """A pressure gauge; `sealed_abs` is the air pressure shut in its case [Pa], None for a vented one."""

    sealed_abs: float | None = None

    def reference_abs(self, ambient_abs: Real) -> Real:
        """What it compares with [Pa]."""
        return ambient_abs if self.sealed_abs is None else self.sealed_abs

    def absolute(self, reading_gauge: Real, *, ambient_abs: Real) -> Real:
        """Absolute pressure behind a reading [Pa].

        Raises
        ------
        OutOfRange
            If the reading says less than nothing: a pressure not above zero absolute.
        """
        total = np.asarray(reading_gauge + self.reference_abs(ambient_abs))[()]
        if not np.all(np.isfinite(total) & (np.asarray(total) > 0)):
            raise OutOfRange("must leave a pressure above a vacuum", field="reading_gauge", value=f"{reading_gauge} Pa")
        return total

    def reading_gauge(self, pressure_abs: Real, *, ambient_abs: Real) -> Real:
        """What it shows for an absolute pressure [Pa]."""
        return pressure_abs - self.reference_abs(ambient_abs)


VENTED = GaugeAccuracy()


def before_connecting(reading: Real, *, hose_volume: Real, joined_volume: Real, hose_start: Real = 0.0) -> Real:
    """Pressure in the chamber before the pump was screwed on: p + (p − p_hose) V_hose/V_joined [Pa].

    Parameters
    ----------
    reading : float or array
        What the pump shows once it is on [Pa], gauge.
    hose_volume : float or array, > 0
        Of the pump's hose and gauge, up to its own check valve [m³].
    joined_volume : float or array, > 0
        Of all the gas behind the valve: the positive chamber, and whatever stands open to it [m³].
    hose_start : float or array
        What was in the hose before, gauge [Pa]; 0 for a pump that was off.

    Raises
    ------
    OutOfRange
        If a volume is not above 0.

    Notes
    -----
    Masses at one temperature; gauge pressures may stand for absolute ones since all count from the same air.
    """
    positive(hose_volume=hose_volume, joined_volume=joined_volume)
    return reading + (reading - hose_start) * hose_volume / joined_volume


def after_connecting(pressure: Real, *, hose_volume: Real, joined_volume: Real, hose_start: Real = 0.0) -> Real:
    """What the pump shows, and the chamber keeps, once it is screwed on; the inverse of
    `before_connecting` [Pa]."""
    positive(hose_volume=hose_volume, joined_volume=joined_volume)
    return (pressure * joined_volume + hose_start * hose_volume) / (joined_volume + hose_volume)


def share_taken(*, hose_volume: Real, joined_volume: Real, times: int = 1) -> Real:
    """Share of the gauge pressure that connecting an empty hose so many times takes out of a chamber."""
    positive(hose_volume=hose_volume, joined_volume=joined_volume)
    if times < 0:
        raise OutOfRange("must be 0 or more", field="times", value=str(times))
    kept: Real = (joined_volume / (joined_volume + hose_volume)) ** times
    return 1.0 - kept


def elsewhere(reading_gauge: Real, *, here: GaugePlace, there: GaugePlace, gauge: GaugeAccuracy = VENTED) -> Real:
    """What the same charge reads at another temperature and in other air, topped out [Pa].

    Set it here and ride it there; or, with the places swapped, what to set here so that it reads so there.

    Raises
    ------
    OutOfRange
        If a temperature is not above absolute zero, an air pressure not above 0, or the reading cannot be.
    """
    for place in (here, there):
        positive(temperature=place.temperature, ambient_abs=place.ambient_abs)
    absolute = gauge.absolute(reading_gauge, ambient_abs=here.ambient_abs)
    moved = absolute * there.temperature / here.temperature
    return gauge.reading_gauge(moved, ambient_abs=there.ambient_abs)


def per_kelvin(reading_gauge: Real, *, here: GaugePlace) -> Real:
    """How much a reading moves per kelvin, topped out [Pa/K]."""
    positive(temperature=here.temperature, ambient_abs=here.ambient_abs)
    return VENTED.absolute(reading_gauge, ambient_abs=here.ambient_abs) / here.temperature
