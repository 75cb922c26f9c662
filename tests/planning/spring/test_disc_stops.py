"""Bumpers stacked of disc springs, from a sheet's text to the force of the fork."""

from __future__ import annotations

import pathlib
from dataclasses import replace

import numpy as np
import pytest

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup, StackSetting
from sagwright.domain.sheet import Bumper, Sheet
from sagwright.errors import InputErrors, OutOfRange
from sagwright.formats.sheet.load import load_sheet
from sagwright.physics.spring import Stroke
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.model import fit_of, model_of
from tests.support.intakes import charge, value

# DIN 2093 (EN 16983), group 2, as a transcription gives it; force at s = 0.75 h0, editions differ by up to 0.8 %, so
# 1 %. De, Di, t, l0 [mm], N. The last two rows are from memory.
TABLE = [
    (31.5, 16.3, 1.75, 2.45, 3870),
    (40, 20.4, 2.25, 3.15, 6500),
    (63, 31, 3.5, 4.9, 15000),
    (80, 41, 5, 6.7, 33600),
    (31.5, 16.3, 1.25, 2.15, 1910),
    (50, 25.4, 2, 3.4, 4760),
    (63, 31, 2.5, 4.25, 7190),
    (50, 25.4, 1.25, 2.85, 1550),
    (8, 4.2, 0.4, 0.6, 210),
]
THIN = """\
shape: sheet/1
extends: air-fork/spacer-stack
maker: Specimen
model: Thin
revision: 1
chassis:
  only: {longest: 150 mm, travels: 110..150 mm, every: 10 mm}
stops:
  bottom_out:
    length: LENGTH mm
    discs: {outside: DE mm, inside: DI mm, thickness: T mm, cone: H0 mm, series: 4, parallel: 2}
"""
GOOD = {"LENGTH": 3.6, "DE": 31.5, "DI": 16.3, "T": 1.25, "H0": 0.9}


def sheet_of(tmp_path: pathlib.Path, **sizes: float) -> Sheet:
    text = THIN
    for key, size in (GOOD | sizes).items():
        text = text.replace(f"{key} mm", f"{size:g} mm")
    path = tmp_path / "thin.yaml"
    path.write_text(text, "utf-8")
    return load_sheet(path)


def stroke_of(sheet: Sheet) -> Stroke:
    setup = Setup("only", StackSetting(0, 0), 0, charge(80.0))
    model = model_of(sheet, fit_of(sheet, setup), Surroundings())
    return Stroke(model.spring, state_of(model, charge(80.0)), n=1.0)


@pytest.mark.parametrize("row", TABLE)
def test_the_table_of_din_2093_through_a_sheet(tmp_path: pathlib.Path, row: tuple[float, ...]) -> None:
    outside, inside, thickness, free, newton = row
    h0 = free - thickness
    sheet = sheet_of(tmp_path, DE=outside, DI=inside, T=thickness, H0=h0, LENGTH=4 * h0)
    bare = replace(sheet, bottom_out=Bumper(sheet.bottom_out.length, value(0.0)))
    x = 0.150 - 0.25 * 4 * h0 / 1e3  # three quarters of the stack pressed
    pushed = stroke_of(sheet).force(x) - stroke_of(bare).force(x)
    assert pushed == pytest.approx(2 * newton, rel=0.01)  # two nested


def test_force_is_the_slope_of_energy_and_sinks_nowhere(tmp_path: pathlib.Path) -> None:
    stroke = stroke_of(sheet_of(tmp_path))
    x = np.linspace(0.140, 0.1499, 50)
    slope = (np.asarray(stroke.energy(x + 1e-7)) - stroke.energy(x - 1e-7)) / 2e-7
    np.testing.assert_allclose(stroke.force(x), slope, rtol=1e-5)
    assert np.all(np.diff(np.asarray(stroke.force(x))) > 0)
    carried = float(np.asarray(stroke.force(0.149)))
    assert stroke.compression_under(carried) == pytest.approx(0.149, abs=1e-6)


@pytest.mark.parametrize(
    ("sizes", "field"),
    [
        ({"LENGTH": 5.0}, "stops.bottom_out.length"),  # flat after 3.6 mm
        ({"DI": 40.0}, "stops.bottom_out.discs.inside"),
        ({"H0": 2.0, "LENGTH": 8.0}, "stops.bottom_out.discs.cone"),
    ],
)
def test_discs_that_cannot_be_are_faults_of_the_sheet(
    tmp_path: pathlib.Path, sizes: dict[str, float], field: str
) -> None:
    with pytest.raises((OutOfRange, InputErrors)) as caught:
        sheet_of(tmp_path, **sizes)
    assert isinstance(caught.value, OutOfRange)
    assert (caught.value.field, bool(caught.value.line)) == (field, True)
