"""One spring of plain numbers, laid out as tables, for many compressions at once.

The same forces as `Stroke.force`, which serves many springs at once and pays for it; this serves many compressions of
one spring.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import OutOfRange
from sagwright.physics.spring import Stroke

Array = NDArray[np.float64]


class Sampled:
    """The force of one stroke over its compressions.

    Parameters
    ----------
    stroke : Stroke
        Of a spring and a state that are plain numbers.

    Raises
    ------
    OutOfRange
        If the stroke is of many springs.
    """

    def __init__(self, stroke: Stroke) -> None:
        rows = [[(gas.own, gas.volume, gas.slope, gas.constant) for gas in piece] for piece in stroke.pieces]
        edges = stroke.edges[1:-1]
        if any(np.ndim(number) for row in rows for gas in row for number in gas) or any(map(np.ndim, edges)):
            raise OutOfRange("must be of one spring", field="stroke")
        table = np.array(rows, dtype=float).reshape(len(rows), -1, 4)
        own, self._volume, self._slope, constant = np.moveaxis(table, -1, 0)
        self._edges = np.array(edges, dtype=float)
        self._pull = own * constant
        self._ambient = float(np.asarray(stroke.spring.ambient_abs)) * own[0].sum()
        self._stops = stroke.spring.stops
        self._n = stroke.n

    def force(self, x: Array) -> Array:
        """Force along the axis at compressions in any order, as `Stroke.force` [N]."""
        piece = np.searchsorted(self._edges, x)
        volume = self._slope[piece]
        volume *= x[:, None]
        volume += self._volume[piece]
        force: Array = self._ambient - np.einsum("ij,ij->i", volume**-self._n, self._pull[piece])
        for stop in self._stops:
            force += stop.push(x)[0]
        return force
