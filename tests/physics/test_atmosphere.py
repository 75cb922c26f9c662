"""The standard atmosphere against its table and against the hydrostatic equation."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from sagwright.errors import OutOfRange
from sagwright.physics import atmosphere

# ISO 2533:1975 = US Standard Atmosphere 1976. Geopotential height m, T K, p Pa, rho kg/m³, and p at
# the same number of *geometric* metres. Computed by three libraries (fluids, ambiance, ussa1976) that
# agree to 1e-6.
TABLE = [
    (0, 288.150, 101325.0, 1.22500, 101325.0),
    (500, 284.900, 95460.8, 1.16727, 95461.3),
    (1000, 281.650, 89874.6, 1.11164, 89876.3),
    (1500, 278.400, 84556.0, 1.05807, 84559.7),
    (2000, 275.150, 79495.2, 1.00649, 79501.4),
    (2500, 271.900, 74682.5, 0.95686, 74691.8),
    (3000, 268.650, 70108.5, 0.90912, 70121.2),
    (4000, 262.150, 61640.2, 0.81913, 61660.4),
]


@pytest.mark.parametrize(("height", "temperature", "pressure", "density", "at_geometric"), TABLE)
def test_table_of_iso_2533(
    height: int, temperature: float, pressure: float, density: float, at_geometric: float
) -> None:
    assert atmosphere.temperature(float(height)) == pytest.approx(temperature, rel=1e-9)
    assert atmosphere.pressure_at_altitude_abs(float(height)) == pytest.approx(pressure, rel=1e-5)
    assert atmosphere.density(float(height)) == pytest.approx(density, rel=1e-5)
    assert atmosphere.ambient_abs(float(height)) == pytest.approx(at_geometric, rel=1e-5)


@pytest.mark.parametrize(
    ("height", "printed_hpa"),
    [(1000, 898.746), (2000, 794.952), (3000, 701.085), (4000, 616.402)],
)
def test_familiar_printed_pressures(height: int, printed_hpa: float) -> None:
    # Values from memory, not seen in print: ISO 2533 table, geopotential metres.
    assert atmosphere.pressure_at_altitude_abs(float(height)) / 100 == pytest.approx(printed_hpa, abs=0.0006)


def test_the_two_heights_differ_by_three_hundredths_of_a_percent_at_4000_m() -> None:
    ratio = atmosphere.ambient_abs(4000.0) / atmosphere.pressure_at_altitude_abs(4000.0)
    assert ratio - 1 == pytest.approx(3.3e-4, abs=0.1e-4)


def test_it_solves_the_hydrostatic_equation() -> None:
    # dp/dH = −g0 p/(R T(H)) with the constants of ISO 2533, integrated by scipy: no closed form involved.
    def slope(height: float, pressure: np.ndarray) -> np.ndarray:
        return -9.80665 * pressure / (287.05287 * (288.15 - 0.0065 * height))

    heights = np.linspace(0, 11_000, 12)
    solved = solve_ivp(slope, (0, 11_000), [101_325.0], t_eval=heights, rtol=1e-11, atol=1e-6)
    np.testing.assert_allclose(atmosphere.pressure_at_altitude_abs(heights), solved.y[0], rtol=1e-9)


def test_heights_round_trip() -> None:
    heights = np.linspace(-400, 9000, 50)
    np.testing.assert_allclose(atmosphere.geopotential(atmosphere.geometric(heights)), heights, atol=1e-8)


def test_pressure_falls_all_the_way_up() -> None:
    assert np.all(np.diff(atmosphere.ambient_abs(np.linspace(-1990, 11_000, 1000))) < 0)


@pytest.mark.parametrize("altitude", [80_000.0, 11_100.0, -2100.0, float("nan"), float("inf")])
def test_heights_outside_the_layer_are_refused(altitude: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        atmosphere.ambient_abs(altitude)
    assert caught.value.field == "altitude"


def test_one_height_out_of_many_is_enough_to_refuse() -> None:
    with pytest.raises(OutOfRange, match="80000"):
        atmosphere.pressure_at_altitude_abs(np.array([0.0, 80_000.0]))
