"""Helical springs against worked examples of the handbooks."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics import coil, coil_wire
from sagwright.physics.coil import Coil, Ends, Seating
from sagwright.physics.coil_wire import Wire
from sagwright.units import worded

INCH, LBF, PSI = 0.0254, 4.4482216152605, 6894.757293168


def shigley_10_1() -> Coil:
    """Music wire no. 16, ends squared and not ground."""
    moduli = coil_wire.moduli(Wire.MUSIC, 0.037 * INCH)
    return Coil(
        wire=0.037 * INCH,
        diameter=0.400 * INCH,
        turns=12.5,
        free_length=2.06 * INCH,
        shear_modulus=moduli.shear,
        elastic_modulus=moduli.elastic,
        ends=Ends.CLOSED,
    )


def test_example_10_1_of_shigley() -> None:
    # Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed. (2015), example 10-1, p. 519.
    spring = shigley_10_1()
    assert spring.index == pytest.approx(10.8, rel=5e-3)
    assert coil.bergstraesser(spring.index) == pytest.approx(1.124, abs=5e-4)
    assert coil.coil_rate(spring) == pytest.approx(4.13 * LBF / INCH, rel=5e-3)
    force = coil.force_at_stress(spring, 146e3 * PSI)
    assert force == pytest.approx(6.46 * LBF, rel=5e-3)
    assert force / coil.coil_rate(spring) == pytest.approx(1.56 * INCH, rel=5e-3)
    assert coil.solid_length(spring) == pytest.approx(0.500 * INCH, rel=5e-3)
    assert force / coil.coil_rate(spring) + coil.solid_length(spring) == pytest.approx(2.06 * INCH, rel=5e-3)


def test_example_10_1_of_shigley_buckling() -> None:
    # The same example: squared and ground steel between flat plates is stable below 2.63 D/α = 2.10 in
    # (recalled).
    moduli = dataclasses.replace(shigley_10_1(), shear_modulus=78.5e9, elastic_modulus=206e9)
    assert coil.buckling_length(moduli) == pytest.approx(2.10 * INCH, rel=5e-3)


def test_yield_of_music_wire_in_example_10_1_of_shigley() -> None:
    # 0.45 Sut = 146 kpsi in the same example.
    assert coil_wire.yield_shear(Wire.MUSIC, 0.037 * INCH) == pytest.approx(146e3 * PSI, rel=5e-3)


def test_procedure_of_the_spring_design_handbook() -> None:
    # "Comprehensive Spring Design", section 7.13.1, as transcribed in a public test file.
    spring = Coil(0.250 * INCH, 1.69 * INCH, 15, 8.0 * INCH, 11.5e6 * PSI, 28.5e6 * PSI)
    assert spring.index == pytest.approx(6.76, rel=1e-2)
    assert coil.wahl(spring.index) == pytest.approx(1.221, rel=1e-2)
    assert coil.coil_rate(spring) == pytest.approx(89 * LBF / INCH, rel=1e-2)
    stress = coil.stress(spring, 356 * LBF, factor=coil.wahl(spring.index))
    assert stress == pytest.approx(119_695 * PSI, rel=1e-2)
    assert coil.solid_length(spring) == pytest.approx(3.75 * INCH, rel=1e-9)


def test_four_millimetre_wire_on_thirty_outside() -> None:
    # An anonymous problem bank's statement; its answers computed independently.
    spring = Coil(4e-3, 26e-3, 11, 70e-3, 79.3e9, 206e9)
    assert coil.coil_rate(spring) == pytest.approx(16.04e3, rel=1e-3)
    assert coil.solid_length(spring) == pytest.approx(44e-3, rel=1e-9)
    assert coil.wahl(spring.index) == pytest.approx(1.2310, rel=1e-4)
    assert coil.bergstraesser(spring.index) == pytest.approx(1.2174, rel=1e-4)


@pytest.mark.parametrize(
    ("index", "wahl", "bergstraesser"),
    [
        (4, 1.4038, 1.3846),
        (5, 1.3105, 1.2941),
        (6, 1.2525, 1.2381),
        (8, 1.1840, 1.1724),
        (10, 1.1448, 1.1351),
        (12, 1.1194, 1.1111),
    ],
)
def test_factors_of_wahl_and_bergstraesser(index: int, wahl: float, bergstraesser: float) -> None:
    assert coil.wahl(index) == pytest.approx(wahl, rel=1e-4)
    assert coil.bergstraesser(index) == pytest.approx(bergstraesser, rel=1e-4)


def test_the_two_factors_differ_by_less_than_one_and_a_half_percent() -> None:
    index = np.linspace(4, 12, 200)
    assert np.max(np.abs(coil.wahl(index) / coil.bergstraesser(index) - 1)) < 0.015


@pytest.mark.parametrize(
    ("shear_gpa", "factor"),
    [(78.5, 2.633), (79.5, 2.6156), (81.5, 2.5807)],
)
def test_the_buckling_limit_of_steel(shear_gpa: float, factor: float) -> None:
    # EN 13906-1:2013 and Shigley's equations 10-10 and 10-11 are one limit; E = 206 GPa.
    spring = Coil(4e-3, 30e-3, 12, 200e-3, shear_gpa * 1e9, 206e9)
    assert coil.buckling_length(spring, seating=Seating.TWO_PIVOTS) == pytest.approx(factor * 30e-3, rel=1e-4)


@pytest.mark.parametrize(
    ("free_mm", "diameter_mm", "seating", "deflection_mm"),
    [
        (200, 30, Seating.PARALLEL, 61.895),
        (200, 30, Seating.TWO_PIVOTS, 13.056),
        (150, 40, Seating.PARALLEL, np.inf),
    ],
)
def test_buckling_by_en_13906_1(free_mm: float, diameter_mm: float, seating: Seating, deflection_mm: float) -> None:
    # EN 13906-1:2013, formula from memory; values computed independently, G 79.5 and E 206 GPa.
    spring = Coil(5e-3, diameter_mm / 1e3, 8, free_mm / 1e3, 79.5e9, 206e9)
    found = coil.buckling_deflection(spring, seating=seating)
    assert found == pytest.approx(deflection_mm / 1e3, rel=1e-4)


def test_both_buckling_formulas_agree_at_the_limit() -> None:
    spring = Coil(5e-3, 30e-3, 8, 200e-3, 79.5e9, 206e9)
    limit = float(coil.buckling_length(spring))
    just_over = coil.buckling_deflection(dataclasses.replace(spring, free_length=limit * 1.0001))
    just_under = coil.buckling_deflection(dataclasses.replace(spring, free_length=limit * 0.9999))
    assert np.isfinite(just_over)
    assert np.isinf(just_under)


@pytest.mark.parametrize(
    ("material", "inches", "shear_mpsi", "elastic_mpsi"),
    [
        # Machinery's Handbook table of moduli; also Shigley's table 10-5.
        (Wire.MUSIC, 0.031, 12.0, 29.5),
        (Wire.MUSIC, 0.037, 11.85, 29.0),
        (Wire.MUSIC, 0.100, 11.75, 28.5),
        (Wire.MUSIC, 0.200, 11.6, 28.0),
        (Wire.HARD_DRAWN, 0.031, 11.7, 28.8),
        (Wire.HARD_DRAWN, 0.050, 11.6, 28.7),
        (Wire.HARD_DRAWN, 0.125, 11.5, 28.6),
        (Wire.HARD_DRAWN, 0.250, 11.4, 28.5),
        (Wire.OIL_TEMPERED, 0.2, 11.2, 28.5),
        (Wire.CHROME_VANADIUM, 0.2, 11.2, 28.5),
        (Wire.CHROME_SILICON, 0.2, 11.2, 29.5),
        (Wire.STAINLESS, 0.2, 10.0, 28.0),
        (Wire.STAINLESS_17_7, 0.2, 10.5, 29.5),
    ],
)
def test_moduli_of_the_handbook(material: Wire, inches: float, shear_mpsi: float, elastic_mpsi: float) -> None:
    found = coil_wire.moduli(material, inches * INCH)
    assert found.shear == pytest.approx(shear_mpsi * 1e6 * PSI, rel=1e-9)
    assert found.elastic == pytest.approx(elastic_mpsi * 1e6 * PSI, rel=1e-9)


def test_moduli_of_en_13906_1() -> None:
    # EN 13906-1:2013: 81.5 GPa seen in an open formula page, 79.5 GPa from memory; E 206 GPa.
    assert coil_wire.moduli(Wire.EN_10270_1, 5e-3).shear == 81.5e9
    assert coil_wire.moduli(Wire.EN_10270_2, 5e-3).shear == 79.5e9


def test_titanium_is_about_half_as_stiff_as_steel() -> None:
    # Grade 5 has 41 to 42 GPa by a table of moduli; 41/79.3 = 0.517 of the rate in the same geometry.
    titanium = coil_wire.moduli(Wire.TITANIUM, 5e-3)
    assert titanium.shear == pytest.approx(42e9, rel=2e-3)
    assert titanium.shear / 79.3e9 == pytest.approx(0.517, rel=0.03)


def test_two_equal_springs_in_series_have_half_the_rate() -> None:
    assert coil.in_series([8e3, 8e3]) == pytest.approx(4e3)
    assert coil.in_series([6e3, 3e3, 2e3]) == pytest.approx(1e3)


def test_a_spring_cut_in_two_gives_the_whole_in_series() -> None:
    whole = Coil(4e-3, 26e-3, 22, 150e-3, 79.3e9, 206e9)
    part = dataclasses.replace(whole, turns=12, free_length=75e-3)
    assert coil.in_series([coil.coil_rate(part), coil.coil_rate(part)]) == pytest.approx(coil.coil_rate(whole))


def test_preload_moves_sag_by_its_own_length() -> None:
    # Common practice, no source: preload moves sag, not travel.
    loose = coil.sag(400.0, rate=9e3, preload=0.0)
    assert coil.sag(400.0, rate=9e3, preload=5e-3) == pytest.approx(loose - 5e-3)
    assert coil.sag(400.0, rate=9e3, preload=0.1) == 0.0


def test_a_coil_is_chosen_for_a_sag() -> None:
    shelf = [6e3, 7.5e3, 9e3, 11e3]
    best, second, *_ = coil.rank_coils(shelf, load=300.0, wanted_sag=30e-3, preload=(2e-3, 12e-3))
    assert shelf[best.place] == 9e3
    assert best.preload == pytest.approx(300 / 9e3 - 30e-3)
    assert shelf[second.place] == 7.5e3
    assert second.sag == pytest.approx(30e-3)


def test_when_no_coil_reaches_the_sag_the_nearest_comes_first() -> None:
    first, last = coil.rank_coils([20e3, 30e3], load=300.0, wanted_sag=30e-3, preload=(0.0, 10e-3))
    assert (first.place, first.preload) == (0, 0.0)
    assert first.sag == pytest.approx(15e-3)
    assert last.sag == pytest.approx(10e-3)


def test_a_spring_that_goes_solid_before_full_travel_shows_less_than_nothing_left() -> None:
    spring = Coil(4e-3, 26e-3, 11, 70e-3, 79.3e9, 206e9)
    assert coil.stroke_left(spring, preload=2e-3, travel=20e-3) == pytest.approx(4e-3)
    assert coil.stroke_left(spring, preload=2e-3, travel=30e-3) < 0
    assert coil.least_gaps(spring) == pytest.approx(9 * (0.0015 * 26**2 / 4 + 0.4) * 1e-3)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"wire": 0.0}, "wire"),
        ({"diameter": 8e-3}, "index"),
        ({"turns": 2.0}, "turns"),
        ({"free_length": 40e-3}, "free_length"),
        ({"shear_modulus": float("nan")}, "shear_modulus"),
    ],
)
def test_springs_that_cannot_be_are_refused(change: dict[str, float], named: str) -> None:
    spring = dataclasses.replace(Coil(4e-3, 26e-3, 11, 70e-3, 79.3e9, 206e9), **change)  # type: ignore[arg-type]  # only numbers are changed
    with pytest.raises(OutOfRange) as caught:
        coil.coil_rate(spring)
    assert caught.value.field == named


def test_wire_outside_its_table_is_refused() -> None:
    with pytest.raises(OutOfRange) as caught:
        coil_wire.moduli(Wire.MUSIC, 8e-3)
    assert str(worded(caught.value)) == "wire must be at most 6.35 mm for music wire, got '8 mm'."
    with pytest.raises(OutOfRange):
        coil_wire.yield_shear(Wire.TITANIUM, 4e-3)
    with pytest.raises(OutOfRange):
        coil_wire.yield_shear(Wire.MUSIC, 20e-3)


def test_an_empty_shelf_or_a_preload_upside_down_is_refused() -> None:
    with pytest.raises(NoSolution):
        coil.rank_coils([], load=300.0, wanted_sag=0.03, preload=(0.0, 0.01))
    with pytest.raises(OutOfRange):
        coil.rank_coils([9e3], load=300.0, wanted_sag=0.03, preload=(0.01, 0.0))
