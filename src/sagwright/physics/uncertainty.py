"""How the uncertainties about what goes into a computation come out at its end.

An uncertainty is one independent source of error of standard uncertainty 1: the pump's bias, this reading's scatter,
a bore's tolerance. An input may carry several, and one uncertainty may sit in several inputs, which is how the bias
of one pump is the same in two readings and cancels in their difference. Linear, [jcgm-100] 5.1 and 5.2.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.numeric import finite

Array = NDArray[np.float64]
Inputs = Mapping[str, Array]
MeasurementModel = Callable[[Inputs], Array]

_STEP = 1.0
"""Half-width of the central difference, in standard uncertainties: the slope over what an input may well
be, which is also right across a kink within it, like a bumper that may or may not be touched."""


@dataclass(frozen=True, slots=True)
class Doubtful:
    """An input: its best value, and by how much each uncertainty of standard size moves it, in its own unit."""

    value: float
    uncertainties: tuple[tuple[str, float], ...] = ()

    @property
    def u(self) -> float:
        """Its own standard uncertainty."""
        return float(np.sqrt(sum(size**2 for _, size in self.uncertainties)))


@dataclass(frozen=True, slots=True)
class Result:
    """What a model gives, and how well that is known.

    Attributes
    ----------
    values, u : array (outputs)
    uncertainties : tuple of str
        In the order of the rows below.
    parts : array (uncertainties, outputs)
        By how much each uncertainty of standard size moves each output; u is the root of the summed squares down
        a column.
    """

    values: Array
    u: Array
    uncertainties: tuple[str, ...]
    parts: Array

    def covariance(self) -> Array:
        """Of the outputs with each other."""
        shared: Array = self.parts.T @ self.parts
        return shared

    def u_of_difference(self, first: int, second: int) -> float:
        """Standard uncertainty of one output less another; what they share cancels."""
        return float(np.linalg.norm(self.parts[:, first] - self.parts[:, second]))

    def largest(self, output: int) -> str:
        """The uncertainty that matters most to an output; empty where there is none."""
        return self.uncertainties[int(np.argmax(np.abs(self.parts[:, output])))] if self.uncertainties else ""


def propagate(model: MeasurementModel, inputs: Mapping[str, Doubtful]) -> Result:
    """Carry uncertainties through a model, by central differences along each uncertainty.

    Parameters
    ----------
    model : callable
        Name → array (cases) in, array (..., cases) out: every case at once, each input by its name. One
        value in front of the cases is one output; a model with a single output may return just the cases.
    inputs : mapping of str to Doubtful

    Raises
    ------
    OutOfRange
        If a value or the size of an uncertainty is not finite.
    NoSolution
        If the model gives no finite number for some case.

    Notes
    -----
    Valid where the model is near enough to straight over one standard uncertainty; a kink within it (a
    unit that may or may not lift off its stop) is smoothed to the slope across it.
    """
    names = _uncertainties(inputs)
    shifts = np.concatenate([np.zeros((1, len(names))), _STEP * np.eye(len(names)), -_STEP * np.eye(len(names))])
    answers = _evaluated(model, _shifted(inputs, names, shifts))
    up, down = answers[1 : len(names) + 1], answers[len(names) + 1 :]
    parts = (up - down) / (2.0 * _STEP)
    return Result(answers[0], np.sqrt((parts**2).sum(axis=0)), names, parts)


def simulate(model: MeasurementModel, inputs: Mapping[str, Doubtful], *, cases: int, seed: int) -> Array:
    """The model for many random draws of all uncertainties, each normal: array (cases, outputs). Errors as
    `propagate`."""
    names = _uncertainties(inputs)
    draws = np.random.default_rng(seed).standard_normal((cases, len(names)))
    return _evaluated(model, _shifted(inputs, names, draws))


def _uncertainties(inputs: Mapping[str, Doubtful]) -> tuple[str, ...]:
    for name, given in inputs.items():
        finite(**{name: given.value})
        for uncertainty, size in given.uncertainties:
            if not np.isfinite(size):
                raise OutOfRange("must be finite", field=f"{name}: {uncertainty}", value=str(size))
    return tuple(
        dict.fromkeys(uncertainty for given in inputs.values() for uncertainty, size in given.uncertainties if size)
    )


def _shifted(inputs: Mapping[str, Doubtful], names: tuple[str, ...], shifts: Array) -> dict[str, Array]:
    """Each input for every case, a case being one row of shifts, in standard uncertainties of each uncertainty."""
    place = {name: i for i, name in enumerate(names)}
    cases = {}
    for name, given in inputs.items():
        column = np.full(len(shifts), float(given.value))
        for uncertainty, size in given.uncertainties:
            if size:
                column += size * shifts[:, place[uncertainty]]
        cases[name] = column
    return cases


def _evaluated(model: MeasurementModel, cases: Inputs) -> Array:
    answers = np.asarray(model(cases), dtype=float)
    if not np.all(np.isfinite(answers)):
        raise NoSolution("the model gives no number somewhere within the uncertainty of its inputs")
    rows: Array = np.atleast_2d(answers).T
    return rows
