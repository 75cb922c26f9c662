"""Room between the front tyre and what it could touch, the fork at full compression; a tyre's size from its marking.

Lengths in m; floats, or arrays that broadcast. A gap below zero is contact.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from sagwright.physics.numeric import Real, finite, positive

HEIGHT_OVER_WIDTH: Final = 0.975
"""Height of a mounted tyre over its marked width: 0.95 to 1.0 by tyre and rim; from memory, no measured source."""


class Gap(NamedTuple):
    """A gap and its standard uncertainty [m]."""

    gap: Real
    u: Real


def gap_to_crown(bottomed: Real, *, offset: Real, crown_depth: Real, crown_lead: Real, tyre_radius: Real) -> Real:
    """Gap from tyre to the underside of the crown at full compression [m].

    Parameters
    ----------
    bottomed : float or array
        Axle to crown at full compression, along the steerer [m]: topped out less the travel. It is the same
        for every travel of one chassis.
    offset : float or array
        Of the axle before the steering axis [m].
    crown_depth : float or array
        From the crown race seat down to the underside over the tyre [m].
    crown_lead : float or array
        How far the nearest point of the underside stands before the steering axis [m].
    tyre_radius : float or array
        Largest outer radius, at the highest permitted pressure [m].

    Raises
    ------
    OutOfRange
        If bottomed or the radius is not greater than 0, or another argument is not finite.
    """
    positive(bottomed=bottomed, tyre_radius=tyre_radius)
    finite(offset=offset, crown_depth=crown_depth, crown_lead=crown_lead)
    return np.hypot(bottomed - crown_depth, offset - crown_lead) - tyre_radius


def gap_to_arch(arch_height: Real, *, tyre_radius: Real) -> Real:
    """Gap from tyre to arch [m]: the arch moves with the wheel, so compression does not enter.

    Parameters
    ----------
    arch_height : float or array
        From the axle to the nearest point of the arch [m].
    tyre_radius : float or array [m]

    Raises
    ------
    OutOfRange
        If an argument is not greater than 0.
    """
    positive(arch_height=arch_height, tyre_radius=tyre_radius)
    return arch_height - tyre_radius


def gap_to_tube(
    axle: tuple[Real, Real],
    *,
    ends: tuple[tuple[Real, Real], tuple[Real, Real]],
    tube_radius: Real,
    tyre_radius: Real,
) -> Real:
    """Gap from tyre to a straight tube, seen from the side [m].

    Parameters
    ----------
    axle : tuple of float or array
        Front axle at full compression, in the frame's axes [m].
    ends : tuple of two points
        Both ends of the tube's middle line [m].
    tube_radius, tyre_radius : float or array [m]

    Raises
    ------
    OutOfRange
        If a radius is not greater than 0, or the tube has no length.
    """
    (ax, ay), (bx, by) = ends
    along_x, along_y = bx - ax, by - ay
    square = along_x * along_x + along_y * along_y
    positive(tube_radius=tube_radius, tyre_radius=tyre_radius, tube_length=square)
    share = np.clip(((axle[0] - ax) * along_x + (axle[1] - ay) * along_y) / square, 0.0, 1.0)
    away = np.hypot(axle[0] - ax - share * along_x, axle[1] - ay - share * along_y)
    return away - tube_radius - tyre_radius


def with_other_tyre(measured: Gap, *, measured_radius: Real, radius: Real, radius_u: Real = 0.0) -> Gap:
    """A gap measured with one tyre, for another tyre in the same place.

    Parameters
    ----------
    measured : Gap
    measured_radius, radius : float or array
        Outer radius of the tyre it was measured with, and of the other one [m].
    radius_u : float or array
        Standard uncertainty of the difference of the two [m].

    Raises
    ------
    OutOfRange
        If a radius is not greater than 0.
    """
    positive(measured_radius=measured_radius, radius=radius)
    return Gap(measured.gap - (radius - measured_radius), np.hypot(measured.u, radius_u))


def with_other_chassis(measured: Gap, *, measured_bottomed: Real, bottomed: Real, bottomed_u: Real = 0.0) -> Gap:
    """A gap to crown or frame measured on one chassis or bumper, for another that bottoms at another length.

    Parameters
    ----------
    measured : Gap
    measured_bottomed, bottomed : float or array
        Axle to crown at full compression, of the one it was measured on and of the other [m].
    bottomed_u : float or array
        Standard uncertainty of the difference of the two [m].

    Raises
    ------
    OutOfRange
        If a length is not greater than 0.
    """
    positive(measured_bottomed=measured_bottomed, bottomed=bottomed)
    return Gap(measured.gap + (bottomed - measured_bottomed), np.hypot(measured.u, bottomed_u))


def before_the_end(gap_at_end: Real, *, travel: Real, compression: Real) -> Real:
    """Gap to the crown before the end of travel: what the fork has not yet used stands between as well [m].

    Raises
    ------
    OutOfRange
        If the travel is not greater than 0, or another argument is not finite.

    Notes
    -----
    For ISO 4210-6 (text of its adoption TBIS 4210-6:2019, 5.1) the compression is that under 2800 N with the
    lowest permitted pressure. Square to the crown's underside within o²/2A of the wheel's offset o.
    """
    positive(travel=travel)
    finite(gap_at_end=gap_at_end, compression=compression)
    return gap_at_end + (travel - compression)


def estimated_radius(width: Real, bead_seat: Real) -> Real:
    """Outer radius of a mounted tyre [m].

    Parameters
    ----------
    width, bead_seat : float or array
        As marked, > 0 [m]: 57-622 is 0.057 and 0.622.

    Returns
    -------
    float or array
        Half the bead seat and 0.975 of the width.

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
    return 0.5 * bead_seat + HEIGHT_OVER_WIDTH * width
