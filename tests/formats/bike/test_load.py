"""Bikes: what is read, and one clear message for everything that cannot be."""

from __future__ import annotations

import math
import pathlib

import pytest

from sagwright.domain.value import Origin
from sagwright.errors import InputError, InputErrors
from sagwright.formats.bike.fields import read_tyre
from sagwright.formats.bike.load import load_bike, load_bike_text
from sagwright.formats.intake.load import load_intake

TRAIL = pathlib.Path(__file__).parents[3] / "examples" / "bikes" / "trail.yaml"
GOOD = TRAIL.read_text("utf-8")


def fault_of(written: str, instead: str) -> InputError:
    """The one fault of the demo bike with something else written in it."""
    assert written in GOOD
    with pytest.raises(InputError) as caught:
        load_bike_text(GOOD.replace(written, instead), "bike.yaml")
    return caught.value


def test_what_is_written_is_read() -> None:
    bike = load_bike(TRAIL)
    assert math.degrees(bike.geometry.head_angle.si) == pytest.approx(64.8)
    assert bike.geometry.axle_to_crown.si == pytest.approx(0.541)
    assert bike.geometry.axle_to_crown.origin is Origin.MANUAL
    assert (bike.front.tyre, bike.front.width, bike.front.bead_seat) == ("63-622", 0.063, 0.622)
    assert bike.front.radius is not None
    assert bike.front.radius.origin is Origin.MEASURED
    assert bike.rear_travel is not None
    assert bike.rear_travel.pivot is not None
    assert [limit.bead_seat for limit in bike.limits.forks] == [None]


def test_a_straight_tape_reads_longer() -> None:
    straight = f"axle_to_crown_straight: {math.hypot(541.0, 44.0):.6f} mm"
    bike = load_bike_text(GOOD.replace("axle_to_crown: 541 mm", straight), "bike.yaml")
    assert bike.geometry.axle_to_crown.si == pytest.approx(0.541, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "marking"),
    [("57-622", "57-622"), ("29 x 2.25", "57-622"), ("27.5 × 2.6", "66-584"), ("26x2.125", "54-559")],
)
def test_a_tyre_in_inches_is_its_iso_5775_marking(text: str, marking: str) -> None:
    """54-559 = 26 × 2.125 as a tyre maker's public table prints it; the others by 25.4 mm to the inch."""
    assert read_tyre(text).text == marking


@pytest.mark.parametrize(
    ("written", "instead", "field", "says"),
    [
        ("head_angle: 64.8°", "head_angle: 1.131", "geometry.head_angle", "1.131 rad would be 64.8°; did you mean"),
        ("head_angle: 64.8°", "head_angle: 1.131°", "geometry.head_angle", "1.131 rad would be 64.8°; did you mean"),
        ("head_angle: 64.8°", "head_angle: 95°", "geometry.head_angle", "95° from the front is 85° from behind"),
        ("head_angle: 64.8°", "head_angle: 64.8 mm", "geometry.head_angle", "must be an angle"),
        ("seat_angle: 77°", "seat_angle: 770°", "geometry.seat_angle", "must be between 60° and 85°"),
        (
            "axle_to_crown: 541 mm, offset: 44 mm, travel: 150 mm",
            "axle_to_crown: 150 mm, offset: 44 mm, travel: 541 mm",
            "fork.axle_to_crown",
            "Were axle_to_crown and travel swapped?",
        ),
        ("axle_to_crown: 541 mm", "axle_to_crown: 200 mm", "fork.axle_to_crown", "must be longer than its travel"),
        ('radius: "372 ± 2 mm, measured"', "radius: 29 mm", "wheels.front.radius", "Did you mean 29 in?"),
        ('radius: "372 ± 2 mm, measured"', "radius: 744 mm", "wheels.front.radius", "did you mean 372 mm?"),
        ("tyre: 63-622", "tyre: 29 mm", "wheels.front.tyre", "Did you mean 29 in?"),
        ("tyre: 63-622", "tyre: 63-612", "wheels.front.tyre", "Did you mean 63-622?"),
        ("tyre: 63-622", "tyre: 622-63", "wheels.front.tyre", "width first"),
        ("tyre: 63-622", "tyre: 28-622", "wheels.front.tyre", "must fit its rim"),
        ("tyre: 63-622", "tyre: 63-584", "wheels.front.tyre", "bead seat is 584 mm, the rim's 622 mm"),
        ("reach: 472 mm\n  stack: 632 mm", "reach: 632 mm\n  stack: 472 mm", "geometry.reach", "Were they swapped?"),
        ("  reach: 472 mm\n", "", "geometry.reach", "written together"),
        ("  bb_drop: 30 mm\n", "", "geometry.bb_drop", "bb_height"),
        ("chainstay: 435 mm", "chainstay: -435 mm", "geometry.chainstay", "must be between"),
        ("chainstay: 435 mm", "chainstay: 435 psi", "geometry.chainstay", "must be a length"),
        ("shape: bike/1", "shape: intake/1", "shape", "name a bike"),
        ("mass: 14.2", "mas: 14.2", "mas", "Did you mean mass?"),
        ("to: crown", "to: crwn", "clearance.measured[1].to", "Did you mean crown?"),
        ("pivot: {ahead: 15 mm, above: 45 mm}", "path: [0 mm up]", "rear.path[1]", "75 mm up, 4 mm back"),
        (
            "pivot: {ahead: 15 mm, above: 45 mm}",
            'path: ["0 mm up, 0 mm back", "99 mm up, 2 mm back"]',
            "rear.path",
            "as high as the travel",
        ),
    ],
)
def test_a_slip_is_met_with_what_was_probably_meant(written: str, instead: str, field: str, says: str) -> None:
    fault = fault_of(written, instead)
    assert fault.field == field
    assert fault.line is not None
    assert says in str(fault)


def test_all_faults_are_said_at_once() -> None:
    text = GOOD.replace("head_angle: 64.8°", "head_angle: 95°").replace("chainstay: 435 mm", "chainstay: 4 mm")
    with pytest.raises(InputErrors) as caught:
        load_bike_text(text, "bike.yaml")
    assert [error.field for error in caught.value.errors] == ["geometry.head_angle", "geometry.chainstay"]


@pytest.mark.parametrize(
    ("bike", "field", "says"),
    [
        ("{head_angle: 65°}", "bike", "must say wheelbase"),
        ("nobike.yaml", "bike", "nothing has that name"),
        ("{head_angle: 65°, wheelbas: 1230 mm}", "bike.wheelbas", "Did you mean wheelbase?"),
    ],
)
def test_an_intake_with_an_unusable_bike_says_where(tmp_path: pathlib.Path, bike: str, field: str, says: str) -> None:
    text = (TRAIL.parents[1] / "shorten-t35-bike.yaml").read_text("utf-8").replace("bikes/trail.yaml", bike)
    path = tmp_path / "intake.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        load_intake(path)
    assert (caught.value.file, caught.value.field) == (str(path), field)
    assert says in str(caught.value)
