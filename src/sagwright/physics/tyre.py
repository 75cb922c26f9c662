"""Tyres and rims by the numbers moulded into them. Lengths in m."""

from __future__ import annotations

from typing import Final, NamedTuple

from sagwright.errors import OutOfRange

BEAD_SEATS: Final[dict[str, tuple[float, ...]]] = {
    "29 in": (0.622,),
    "28 in": (0.622,),
    "700C": (0.622,),
    "27.5 in": (0.584,),
    "650B": (0.584,),
    "26 in": (0.559,),
    "24 in": (0.507,),
    "20 in": (0.406,),
}
"""Bead seat diameters by the name of the wheel [m]; ISO 5775-1/-2. 584 from memory, not seen in print."""

STANDARD_SEATS: Final = (
    0.203,
    0.288,
    0.305,
    0.349,
    0.355,
    0.369,
    0.406,
    0.507,
    0.559,
    0.571,
    0.584,
    0.590,
    0.622,
    0.630,
)
"""Bead seat diameters in use [m]; ISO 5775-1/-2 and, for 288, 355, 369 and 630, from memory."""

HEIGHT_OVER_WIDTH: Final = (0.95, 1.0)
"""Height of a mounted tyre over its marked width, by tyre and rim; from memory, no measured source."""

RADIUS_TOLERANCE: Final = 0.03
"""How far an estimated radius may be off, as a share; real rolling circumference is 1 to 3 % less than 2H +
seat."""


class Tyre(NamedTuple):
    """Marked width and bead seat diameter [m]: "57-622" is 57 mm on 622 mm."""

    width: float
    bead_seat: float


class Rim(NamedTuple):
    """Inside width and bead seat diameter of a rim [m]."""

    width: float
    bead_seat: float


def estimated_radius(tyre: Tyre) -> tuple[float, float]:
    """Outer radius of a mounted tyre and its standard uncertainty, both estimates [m].

    Parameters
    ----------
    tyre : Tyre
        Width 18 to 130 mm, bead seat one of `STANDARD_SEATS`.

    Returns
    -------
    tuple of float
        Half the seat and 0.975 of the width; the uncertainty takes 3 % as a rectangle's half-width.

    Raises
    ------
    OutOfRange
        If the width or the seat is none of these.

    Notes
    -----
    An estimate: a roll-out or a rule at the axle is better, and shorter under a rider.

    References
    ----------
    ISO 5775-1/-2 for the marking; the height from memory, no measured source.
    """
    check_tyre(tyre)
    radius = 0.5 * tyre.bead_seat + 0.5 * sum(HEIGHT_OVER_WIDTH) * tyre.width
    return radius, RADIUS_TOLERANCE * radius / 3.0**0.5


def check_tyre(tyre: Tyre) -> None:
    """Refuse a tyre that no rim is made for.

    Raises
    ------
    OutOfRange
        Naming the field and, where one is near, what was probably meant.
    """
    if not 0.018 <= tyre.width <= 0.130:
        raise OutOfRange(
            "must be a tyre width between 18 and 130 mm",
            field="tyre",
            value=f"{tyre.width * 1e3:g} mm",
            remedy='Write it as moulded into the tyre, width first: "57-622".',
        )
    if not any(abs(tyre.bead_seat - seat) < 5e-4 for seat in STANDARD_SEATS):
        nearest = min(STANDARD_SEATS, key=lambda seat: abs(seat - tyre.bead_seat))
        raise OutOfRange(
            "must have a bead seat diameter of ISO 5775",
            field="tyre",
            value=f"{tyre.bead_seat * 1e3:g} mm",
            remedy=f"Did you mean {nearest * 1e3:g} mm?",
        )


def misfits(tyre: Tyre, rim: Rim) -> tuple[str, ...]:
    """Why a tyre cannot go on a rim: "bead seat", "too narrow", "too wide"; empty where nothing speaks
    against it.

    Notes
    -----
    The bead seats must be the same (ISO 5775). A tyre narrower than 1.1 or wider than 4.5 times the rim's
    inside width is taken for a slip of the pen: common practice, no source; makers' own tables are narrower.
    """
    faults = []
    if abs(tyre.bead_seat - rim.bead_seat) > 5e-4:
        faults.append("bead seat")
    if tyre.width < 1.1 * rim.width:
        faults.append("too narrow")
    if tyre.width > 4.5 * rim.width:
        faults.append("too wide")
    return tuple(faults)
