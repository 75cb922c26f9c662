"""What a tyre's marking says of its size. Lengths in m; floats, or arrays that broadcast."""

from __future__ import annotations

from typing import Final

from sagwright.physics.checking import positive
from sagwright.physics.types import Real

HEIGHT_OVER_WIDTH: Final = 0.975
"""Height of a mounted tyre over its marked width: 0.95 to 1.0 by tyre and rim; from memory, no measured source."""

RADIUS_TOLERANCE: Final = 0.03
"""How far an estimated radius may be off, as a share: real roll-out is 1 to 3 % less; from memory, not seen in
print."""


def estimated_radius(width: Real, bead_seat: Real) -> tuple[Real, Real]:
    """Outer radius of a mounted tyre, and its standard uncertainty [m].

    Parameters
    ----------
    width, bead_seat : float or array
        As marked, > 0 [m]: 57-622 is 0.057 and 0.622.

    Returns
    -------
    tuple of float or array
        Half the bead seat and 0.975 of the width; 3 % are taken as the half-width of a rectangular distribution.

    Raises
    ------
    OutOfRange
        If an argument is not greater than 0.

    Notes
    -----
    An estimate. A rule at the axle is better, and shorter with the rider on.

    References
    ----------
    The marking: [iso-5775]; the height from memory, no measured source.
    """
    positive(width=width, bead_seat=bead_seat)
    radius = 0.5 * bead_seat + HEIGHT_OVER_WIDTH * width
    return radius, RADIUS_TOLERANCE * radius / 3.0**0.5
