"""How a bike stands, found by solving its contact conditions; knows nothing of the package it checks.

Everything is complex numbers, forward real and up imaginary. A head tube's top is at reach + i·stack from the
bottom bracket; the fork goes down from the crown, and its axle stands in front of the steering axis. Two
conditions: both axles at their wheels' radii over the ground.
"""

from __future__ import annotations

import cmath
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import fsolve

TIGHT = 1e-13


@dataclass(frozen=True)
class Bike:
    """Printed geometry [m, rad] and what is changed about it."""

    reach: float
    stack: float
    head_angle: float
    chainstay: float
    drop: float
    axle_to_crown: float
    offset: float
    rear_radius: float
    front_radius: float
    other_axle_to_crown: float
    front_sag: float
    rear_sag: float
    rear_back: float


@dataclass(frozen=True)
class Standing:
    """Where everything is over the ground [m], the rear contact at 0."""

    bb: complex
    top: complex
    crown: complex
    rear_axle: complex
    front_axle: complex
    axis: complex  # of the steerer, pointing down, length 1

    @property
    def head_angle(self) -> float:
        return -cmath.phase(self.axis)

    @property
    def trail(self) -> float:
        """From where the steering axis meets the ground back to the front contact, by a straight walk down
        the axis."""
        down = self.top.imag / -self.axis.imag
        return (self.top + down * self.axis).real - self.front_axle.real


def printed_points(bike: Bike) -> tuple[complex, complex, complex, complex]:
    """Rear axle, head tube's top, crown and steering axis, seen from the bottom bracket, as the maker drew
    it."""
    rear = complex(-((bike.chainstay**2 - bike.drop**2) ** 0.5), bike.drop)
    top = complex(bike.reach, bike.stack)
    axis = cmath.rect(1.0, -bike.head_angle)
    level = bike.drop + bike.front_radius - bike.rear_radius  # of the front axle over the bottom bracket
    start = top + bike.offset * axis * 1j
    down = (level - start.imag) / axis.imag
    return rear, top, top + (down - bike.axle_to_crown) * axis, axis


def stand(bike: Bike) -> Standing:
    """Solve for the bottom bracket's height, and the pitch, at which both wheels touch the ground."""
    rear, top, crown, axis = printed_points(bike)
    rear += complex(-bike.rear_back, bike.rear_sag)
    front = crown + (bike.other_axle_to_crown - bike.front_sag) * axis + bike.offset * axis * 1j

    def contact(unknown: NDArray[np.float64]) -> list[float]:
        height, pitch = unknown
        turn = cmath.rect(1.0, pitch)
        return [
            height + (rear * turn).imag - bike.rear_radius,
            height + (front * turn).imag - bike.front_radius,
        ]

    height, pitch = _root(contact, [bike.rear_radius - bike.drop, 0.0])
    turn = cmath.rect(1.0, pitch)
    bb = complex(-(rear * turn).real, height)
    return Standing(bb, bb + top * turn, bb + crown * turn, bb + rear * turn, bb + front * turn, axis * turn)


def _root(contact: Callable[[NDArray[np.float64]], list[float]], start: list[float]) -> NDArray[np.float64]:
    found, _, flag, message = fsolve(contact, start, xtol=TIGHT, full_output=True)
    if flag != 1 and max(map(abs, contact(found))) > 1e-12:
        raise ArithmeticError(message)
    return np.asarray(found)
