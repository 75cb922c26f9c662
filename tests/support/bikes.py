"""Random bikes for the tests of stance and load."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sagwright.physics.frame import Angles, Fork, FrameGeometry, Rear, WheelRadii, frame_from_reach
from sagwright.physics.stance import Sag
from tests.reference.contact import Bike

# Between the smallest child's bike and the longest downhill bike, with margin [m, degrees]; no source needed:
# any rigid bike obeys the same laws.
RANGES = {
    "reach": (0.30, 0.56),
    "stack": (0.50, 0.72),
    "head_angle": (60.0, 75.0),
    "chainstay": (0.38, 0.48),
    "drop": (-0.02, 0.08),
    "axle_to_crown": (0.36, 0.42),
    "offset": (0.02, 0.06),
    "rear_radius": (0.24, 0.39),
    "front_radius": (0.24, 0.39),
    "other_axle_to_crown": (0.36, 0.62),
    "front_sag": (0.0, 0.08),
    "rear_sag": (0.0, 0.10),
    "rear_back": (-0.01, 0.02),
}


def random_bikes(count: int, *, seed: int) -> Iterator[Bike]:
    """Bikes that can exist: the head tube they leave room for is longer than nothing."""
    rng = np.random.default_rng(seed)
    made = 0
    while made < count:
        numbers = {name: float(rng.uniform(*ends)) for name, ends in RANGES.items()}
        numbers["head_angle"] = float(np.radians(numbers["head_angle"]))
        bike = Bike(**numbers)
        if room(bike) > 0.02:
            made += 1
            yield bike


def room(bike: Bike) -> float:
    """From the head tube's top to the crown along the steerer, by the printed numbers [m]."""
    level = bike.front_radius - bike.rear_radius
    down = (bike.stack - bike.drop + bike.offset * np.cos(bike.head_angle) - level) / np.sin(bike.head_angle)
    return float(down) - bike.axle_to_crown


def parts(bike: Bike) -> tuple[FrameGeometry, Fork, WheelRadii, Sag]:
    """The same bike in the package's words, with the other fork in it."""
    wheels = WheelRadii(bike.rear_radius, bike.front_radius)
    frame = frame_from_reach(
        Rear(bike.chainstay, bike.drop),
        Angles(bike.head_angle, float(np.radians(76.0))),
        fork=Fork(bike.axle_to_crown, bike.offset),
        wheels=wheels,
        reach_stack=(bike.reach, bike.stack),
    )
    sag = Sag(bike.front_sag, bike.rear_sag, bike.rear_back)
    return frame, Fork(bike.other_axle_to_crown, bike.offset), wheels, sag


def stacked(bikes: list[Bike]) -> Bike:
    """Many bikes as one, every number an array."""
    return Bike(**{name: np.array([getattr(bike, name) for bike in bikes]) for name in RANGES})  # type: ignore[arg-type]
