"""Readings, hoses, altitude and temperature."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.errors import OutOfRange
from sagwright.physics import atmosphere, gauge
from sagwright.physics.gauge import GaugeAccuracy, GaugePlace
from tests.reference.fluids import Properties

PSI, BAR = 6894.757293168, 1e5


def test_a_hundred_psi_at_sea_level_reads_more_on_a_mountain() -> None:
    # Same absolute pressure and temperature, ISO 2533 at 2500 m of geopotential height: 103.864 psi, derived.
    up = GaugePlace(ambient_abs=atmosphere.pressure_at_altitude_abs(2500.0))
    assert gauge.elsewhere(100 * PSI, here=GaugePlace(), there=up) / PSI == pytest.approx(103.864, abs=5e-4)


def test_a_sealed_gauge_does_not_notice_the_mountain() -> None:
    up = GaugePlace(ambient_abs=atmosphere.pressure_at_altitude_abs(2500.0))
    sealed = GaugeAccuracy(sealed_abs=101_325.0)
    assert gauge.elsewhere(100 * PSI, here=GaugePlace(), there=up, gauge=sealed) == pytest.approx(100 * PSI)


@pytest.mark.parametrize(
    ("bar_gauge", "celsius", "real", "ideal"),
    [
        # Constant volume from 20 °C: bar gauge, real air by CoolProp 8.0.0 and ideal gas.
        (6.0, -10, 5.2697, 5.2823),
        (8.0, -10, 7.0568, 7.0776),
        (8.0, 0, 7.3713, 7.3851),
        (8.0, 40, 8.6284, 8.6149),
        (15.0, 50, 16.7022, 16.6387),
    ],
)
def test_constant_volume_table(bar_gauge: float, celsius: int, real: float, ideal: float, PropsSI: Properties) -> None:
    there = GaugePlace(temperature=celsius + 273.15)
    found = gauge.elsewhere(bar_gauge * BAR, here=GaugePlace(), there=there) / BAR
    assert found == pytest.approx(ideal, abs=5e-5)
    assert found == pytest.approx(real, rel=5e-3)
    density = PropsSI("D", "T", 293.15, "P", bar_gauge * BAR + 101_325, "Air")
    by_coolprop = (PropsSI("P", "T", celsius + 273.15, "D", density, "Air") - 101_325) / BAR
    assert by_coolprop == pytest.approx(real, abs=5e-5)


def test_four_tenths_of_a_psi_per_kelvin_at_93_psi() -> None:
    # Common practice, no source.
    assert gauge.per_kelvin(93 * PSI, here=GaugePlace()) / PSI == pytest.approx(0.4, abs=0.04)


@given(
    st.floats(0.1, 20.0),
    st.floats(250.0, 320.0),
    st.floats(250.0, 320.0),
    st.floats(0, 4000),
    st.floats(0, 4000),
)
def test_there_and_back_is_where_it_started(bar: float, t1: float, t2: float, h1: float, h2: float) -> None:
    here = GaugePlace(t1, atmosphere.ambient_abs(h1))
    there = GaugePlace(t2, atmosphere.ambient_abs(h2))
    for meter in (GaugeAccuracy(), GaugeAccuracy(sealed_abs=101_325.0)):
        moved = gauge.elsewhere(bar * BAR, here=here, there=there, gauge=meter)
        if meter.sealed_abs is None or moved > -100_000:
            back = gauge.elsewhere(moved, here=there, there=here, gauge=meter)
            assert back == pytest.approx(bar * BAR, rel=1e-9, abs=1e-3)


@given(st.floats(0.0, 30.0), st.floats(0.5, 10.0), st.floats(10.0, 500.0), st.floats(0.0, 30.0))
def test_the_hose_correction_round_trips(bar: float, hose: float, joined: float, start: float) -> None:
    sizes = {"hose_volume": hose * 1e-6, "joined_volume": joined * 1e-6, "hose_start": start * BAR}
    shown = gauge.after_connecting(bar * BAR, **sizes)
    assert min(bar, start) * BAR - 1e-6 <= shown <= max(bar, start) * BAR + 1e-6
    assert gauge.before_connecting(shown, **sizes) == pytest.approx(bar * BAR, rel=1e-9, abs=1e-3)


def test_connecting_keeps_every_molecule() -> None:
    # p·V before = p·V after in absolute pressures, at one temperature; written out here on its own.
    chamber, hose, before_abs = 180e-6, 3e-6, 7.5e5
    after_abs = (before_abs * chamber + 101_325 * hose) / (chamber + hose)
    shown = gauge.after_connecting(before_abs - 101_325, hose_volume=hose, joined_volume=chamber)
    assert shown == pytest.approx(after_abs - 101_325, rel=1e-12)


def test_connecting_takes_one_to_three_percent_of_a_fork() -> None:
    # Common practice, no source: 1 to 3 % of a fork, 3 to 6 % of a shock. Hose and gauge taken as 3 ml.
    assert 0.01 < gauge.share_taken(hose_volume=3e-6, joined_volume=180e-6) < 0.03
    assert 0.03 < gauge.share_taken(hose_volume=3e-6, joined_volume=70e-6) < 0.06


def test_connecting_twice_takes_twice() -> None:
    sizes = {"hose_volume": 3e-6, "joined_volume": 150e-6}
    once = gauge.after_connecting(100 * PSI, **sizes)
    twice = gauge.after_connecting(once, **sizes)
    assert twice / (100 * PSI) == pytest.approx(1 - gauge.share_taken(**sizes, times=2), rel=1e-12)
    assert gauge.share_taken(**sizes, times=0) == 0.0


@pytest.mark.parametrize(
    ("reading", "here", "there"),
    [
        (6 * BAR, GaugePlace(temperature=-5.0), GaugePlace()),
        (6 * BAR, GaugePlace(), GaugePlace(temperature=0.0)),
        (6 * BAR, GaugePlace(ambient_abs=0.0), GaugePlace()),
        (-1.1 * BAR, GaugePlace(), GaugePlace()),
        (float("nan"), GaugePlace(), GaugePlace()),
    ],
)
def test_readings_and_places_that_cannot_be_are_refused(reading: float, here: GaugePlace, there: GaugePlace) -> None:
    with pytest.raises(OutOfRange):
        gauge.elsewhere(reading, here=here, there=there)


def test_a_hose_or_a_chamber_without_volume_is_refused() -> None:
    with pytest.raises(OutOfRange, match="hose_volume"):
        gauge.before_connecting(6 * BAR, hose_volume=0.0, joined_volume=1e-4)
    with pytest.raises(OutOfRange, match="joined_volume"):
        gauge.after_connecting(6 * BAR, hose_volume=1e-6, joined_volume=-1e-4)
    with pytest.raises(OutOfRange, match="times"):
        gauge.share_taken(hose_volume=1e-6, joined_volume=1e-4, times=-1)
