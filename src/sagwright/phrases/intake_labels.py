"""What is known of a unit, its rider, bike and wish, by the paths of an intake: what each is called."""

from __future__ import annotations

from typing import Final

LABELS: Final[dict[str, str]] = {
    "unit.serial": "serial number",
    "unit.chassis": "chassis",
    "as_found.travel": "travel",
    "as_found.travel_spacers": "travel spacers",
    "as_found.port_position": "port position",
    "as_found.air_shaft": "air shaft, by its travel",
    "as_found.volume_spacers": "volume spacers",
    "as_found.charge.pressure": "pressure",
    "as_found.charge.negative_pressure": "pressure of the negative chamber",
    "as_found.charge.second_pressure": "pressure of the second chamber",
    "as_found.top_out_spacers": "top-out spacers",
    "as_found.coil": "coil",
    "as_found.preload_spacers": "preload spacers",
    "as_found.preload_turns": "turns of preload",
    "as_found.charge.last_set": "pressure last set",
    "as_found.charge.leaked": "pressure known to have leaked",
    "as_found.charge.cycled": "cycled since it was filled",
    "as_found.charge.compression": "compression when it was read",
    "as_found.charge.temperature": "temperature of the unit",
    "as_found.charge.air_pressure": "air pressure when it was read",
    "rider.mass": "rider",
    "rider.gear": "gear worn and carried",
    "rider.height": "rider's height",
    "rider.posture": "posture for the sag",
    "rider.front_share": "share of both on the fork",
    "technician.mass": "technician",
    "technician.gear": "gear worn by the technician",
    "technician.height": "technician's height",
    "technician.posture": "posture of the technician",
    "technician.front_share": "share of both on the fork, under the technician",
    "load": "load measured along the fork",
    "front_scale": "scale under the front wheel",
    "bike.head_angle": "head angle",
    "bike.wheelbase": "wheelbase",
    "bike.offset": "fork offset",
    "bike.front_radius": "front wheel's radius",
    "wish.travel": "travel wished",
    "wish.aim": "nearest to",
    "wish.aim.sag": "sag wished",
    "wish.aim.capacity": "capacity wished",
    "wish.travel_spacers": "travel spacers wished",
    "wish.volume_spacers": "volume spacers wished",
    "wish.pressure": "pressure wished",
    "wish.negative_pressure": "pressure wished, negative chamber",
    "wish.second_pressure": "pressure wished, second chamber",
    "wish.coil": "coil wished",
    "wish.preload_spacers": "preload spacers wished",
    "workshop.temperature": "workshop's temperature",
    "workshop.air_pressure": "workshop's air pressure",
}
"""By path, in the order in which they are asked."""

GROUPS: Final[tuple[tuple[str, str], ...]] = (
    ("unit.", "unit"),
    ("as_found.", "as found"),
    ("rider.", "rider and load"),
    ("technician.", "technician, as a known mass for the final check"),
    ("load", "rider and load"),
    ("front_scale", "rider and load"),
    ("bike.", "bike"),
    ("wish.", "wish"),
    ("workshop.", "workshop"),
)
"""Beginnings of paths, and the heading they stand under."""

_OTHER: Final = "other"


def fact_label(path: str) -> str:
    """What a fact is called; an unknown path by its last word."""
    return LABELS.get(path) or path.rpartition(".")[2].replace("_", " ")


def group(path: str) -> str:
    """The heading a fact stands under."""
    return next((heading for start, heading in GROUPS if path.startswith(start)), _OTHER)


def fact_order(path: str) -> tuple[int, int, str]:
    """Where a fact stands among the others: by heading, then in the order in which they are asked."""
    headings, order = [heading for _, heading in GROUPS], list(LABELS)
    heading = group(path)
    return (
        headings.index(heading) if heading in headings else len(headings),
        order.index(path) if path in LABELS else len(order),
        path,
    )
