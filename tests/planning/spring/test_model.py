"""Springs that forks have besides a self-equalising negative chamber, from a sheet to a curve."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from sagwright.domain.curve import CurveQuestion, SetupCurve
from sagwright.domain.intake import AsFound, Intake, Rider, UnitIdentity, Wish
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import InputError
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.plan import make_plan
from sagwright.service.calculators import compare_curves
from tests.support.intakes import PSI, value
from tests.support.selections import selection_of

BASE = "shape: sheet/1\nextends: specimen/p34\nmodel: Test\n"
OWN_VALVE = BASE + 'transfer_port: "left out"\nspring:\n  negative: {pressure: 70 ± 2 psi}\n'
TWO_STAGE = BASE + "spring:\n  second: {volume: 60 ± 2 ml, pressure: 170 ± 3 psi}\n"
AMBIENT = 101_325.0


def written(text: str, folder: Path) -> Path:
    path = folder / "test.yaml"
    path.write_text(text, "utf-8")
    return path


def one(sheet: str | Path, setup: str, question: CurveQuestion | None = None) -> SetupCurve:
    (found,) = compare_curves(sheet, [setup], question).curves
    return found


def checked_in(sheet: Sheet, setup: str, path: Path) -> Intake:
    found = one(path, setup).setup
    chassis = sheet.chassis[0].name
    travel = sheet.chassis[0].travels[-1]
    rider = Rider(value(78.0), value(4.0), value(0.4, 0.05))
    return Intake(
        "test", sheet, UnitIdentity("", chassis), AsFound(found, Unknown.NOT_MEASURED), Wish(value(travel)), rider=rider
    )


def test_a_negative_chamber_with_its_own_valve_is_charged_by_itself(tmp_path: Path) -> None:
    # Both chambers by hand at full extension: p − p_ambient times each area, top-out bumper and damper aside.
    path = written(OWN_VALVE, tmp_path)
    low, high = (
        one(path, f"travel: 130 mm, pressure: 85 psi, negative_pressure: {psi} psi").slow_force.value[0]
        for psi in (50, 80)
    )
    ring = math.pi / 4 * (0.0306**2 - 0.009**2)
    assert low - high == pytest.approx(30 * PSI * ring, rel=1e-9)


def test_its_charge_is_the_sheets_where_nobody_says_another(tmp_path: Path) -> None:
    path = written(OWN_VALVE, tmp_path)
    said = one(path, "travel: 130 mm, pressure: 85 psi, negative_pressure: 70 psi")
    assert one(path, "travel: 130 mm, pressure: 85 psi").slow_force.value == pytest.approx(said.slow_force.value)
    negative = dict(said.pressures_abs)["negative"]
    assert negative[0] == pytest.approx(70 * PSI + AMBIENT)


def test_a_second_chamber_opens_where_its_pressure_is_met(tmp_path: Path) -> None:
    path = written(TWO_STAGE, tmp_path)
    two = one(path, "travel: 130 mm, pressure: 80 psi", CurveQuestion(points=1001))
    single = one("specimen/p34", "travel: 130 mm, pressure: 80 psi", CurveQuestion(points=1001))
    pressures = dict(two.pressures_abs)
    front, behind = np.array(pressures["positive"]), np.array(pressures["second positive"])
    met = front > 170 * PSI + AMBIENT
    assert 0.2 < met.mean() < 0.8
    np.testing.assert_allclose(front[met], behind[met], rtol=1e-9)
    np.testing.assert_allclose(behind[~met], 170 * PSI + AMBIENT, rtol=1e-9)
    np.testing.assert_allclose(np.array(two.slow_force.value)[:100], np.array(single.slow_force.value)[:100], rtol=1e-9)
    assert two.stroke_force.value[-1] < single.stroke_force.value[-1]
    assert two.energy[-1] == pytest.approx(np.trapezoid(two.stroke_force.value, two.compression), rel=1e-4)


def test_a_weaker_second_chamber_opens_earlier(tmp_path: Path) -> None:
    path = written(TWO_STAGE, tmp_path)
    soft, firm = (
        one(path, f"travel: 130 mm, pressure: 80 psi, second_pressure: {psi} psi").stroke_force.value[70]
        for psi in (120, 220)
    )
    assert soft < firm


def test_taking_the_coil_out_adds_its_pull(tmp_path: Path) -> None:
    # 4.5 N/mm over 18 mm: 81 N topped out, 0 at 18 mm and beyond, by hand.
    path = written("shape: sheet/1\nextends: specimen/n32\nspring:\n  negative:\n    coil: left out\n", tmp_path)
    held, free = (
        np.array(one(sheet, "pressure: 80 psi", CurveQuestion(points=121)).slow_force.value)
        for sheet in ("specimen/n32", path)
    )
    assert free[0] - held[0] == pytest.approx(81.0)
    assert free[9] - held[9] == pytest.approx(40.5)
    np.testing.assert_allclose(free[18:], held[18:], rtol=1e-12)


def test_a_fork_of_fixed_travel_is_planned(tmp_path: Path) -> None:
    sheet = load_sheet("specimen/n32")
    plan = make_plan(checked_in(sheet, "pressure: 80 psi", Path("specimen/n32")), program="test")
    assert plan.target is not None
    assert {change.field for change in plan.work.changes} <= {"volume_spacers", "charge"}
    assert {one.travel for one in selection_of(plan).options} == {0.12}


@pytest.mark.parametrize("text", [OWN_VALVE, TWO_STAGE])
def test_a_fork_with_a_second_valve_is_planned_from_a_thin_sheet(tmp_path: Path, text: str) -> None:
    path = written(text, tmp_path)
    plan = make_plan(checked_in(load_sheet(path), "travel: 140 mm, pressure: 85 psi", path), program="test")
    assert plan.target is not None
    assert plan.target.permitted


def test_the_dampers_stroke_ends_the_travel(tmp_path: Path) -> None:
    short = "chassis:\n  standard: {travels: [100 mm], longest: 140 mm}\ndamper: {stroke: 118 mm}\n"
    path = written(BASE + short, tmp_path)
    assert one(path, "travel: 130 mm, pressure: 85 psi").travel == pytest.approx(0.118)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (BASE + "damper: {stroke: 120 mm}\n", "damper.stroke"),
        (BASE + 'transfer_port: "left out"\n', "transfer_port"),
        (BASE + "spring:\n  negative: {pressure: 70 psi}\n", "spring.negative.pressure"),
        (BASE + "spring:\n  second: {volume: 60 ml}\n", "spring.second.pressure"),
        (BASE + "spring:\n  second: {volume: 60 psi, pressure: 170 psi}\n", "spring.second.volume"),
        (BASE + "mechanism:\n  fixed: {travel: 130 mm, most_volume_spacers: 2}\n", "mechanism"),
    ],
)
def test_sheets_that_contradict_themselves_are_refused(tmp_path: Path, text: str, named: str) -> None:
    with pytest.raises(InputError) as caught:
        load_sheet(written(text, tmp_path))
    assert caught.value.field == named


@pytest.mark.parametrize("key", ["negative_pressure", "second_pressure"])
def test_a_valve_that_is_not_there_cannot_be_charged(key: str) -> None:
    with pytest.raises(InputError) as caught:
        one("specimen/p34", f"travel: 130 mm, pressure: 85 psi, {key}: 70 psi")
    assert caught.value.field == key
