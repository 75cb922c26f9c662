"""The fit behind the package's real air: CoolProp's air (Lemmon et al. 2000) squeezed into twelve numbers.

With t = T/300 K and r = ρ/(100 kg/m³), by linear least squares over 250 to 560 K and 1 to 150 kg/m³:
Z − 1 = r Σ b_i t^-i + r² Σ c_i t^-i, and the heat capacity of the thin gas cv/R = Σ a_i t^i.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.reference.fluids import Properties, properties

UNIVERSAL_GAS_CONSTANT = 8.31446261815324  # J/(mol·K), exact in the SI of 2019
THIN = 1e-4  # kg/m³, near enough to no density at all


@dataclass(frozen=True)
class Fit:
    """The coefficients, lowest power first."""

    gas_constant: float
    second: tuple[float, ...]
    third: tuple[float, ...]
    heat_capacity: tuple[float, ...]


def fit(PropsSI: Properties) -> Fit:
    """Fit CoolProp's air again."""
    gas_constant = UNIVERSAL_GAS_CONSTANT / float(PropsSI("M", "Air"))
    temperatures = np.linspace(250.0, 560.0, 40)
    T, density = (grid.ravel() for grid in np.meshgrid(temperatures, np.linspace(1.0, 150.0, 40)))
    t, r = T / 300.0, density / 100.0
    terms = np.stack([r * t**-i for i in range(4)] + [r**2 * t**-i for i in range(3)], axis=1)
    excess = np.asarray(PropsSI("Z", "T", T, "D", density, "Air")) - 1.0
    virial = np.linalg.lstsq(terms, excess, rcond=None)[0]
    capacity = np.asarray([PropsSI("CVMASS", "T", T, "D", THIN, "Air") for T in temperatures]) / gas_constant
    powers = np.stack([(temperatures / 300.0) ** i for i in range(5)], axis=1)
    return Fit(
        gas_constant,
        tuple(map(float, virial[:4])),
        tuple(map(float, virial[4:])),
        tuple(map(float, np.linalg.lstsq(powers, capacity, rcond=None)[0])),
    )


if __name__ == "__main__":
    print(fit(properties()))  # noqa: T201  # run by hand to refresh the coefficients
