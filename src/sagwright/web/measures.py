"""What is measured on a unit to make a thin sheet of it, in the order in which one gets at it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.value import Quantity

NAMED: Final = "{chassis}"


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing to measure.

    Attributes
    ----------
    name : str
        Of its field.
    label, how : str
        What it is, and how one gets it.
    paths : tuple of str
        Where it stands in a sheet; the first says what is typical.
    quantity : Quantity
    """

    name: str
    label: str
    how: str
    paths: tuple[str, ...]
    quantity: Quantity = Quantity.LENGTH


Group = tuple[str, tuple[Measure, ...]]

OUTSIDE: Final[Group] = (
    "From outside, free of load",
    (
        Measure("axle_to_crown", "axle to crown", "Axle to the lower bearing seat, along the steerer.",
                (f"chassis.{NAMED}.axle_to_crown",)),
        Measure("stanchion", "stanchion, outside", "Caliper, below the worn part; both legs are taken as alike.",
                ("legs.spring.stanchion", "legs.damper.stanchion")),
        Measure("low_pressure", "lowest pressure permitted", "From its sticker or its manual.",
                ("spring.pressure",), Quantity.PRESSURE),
        Measure("high_pressure", "highest pressure permitted", "From its sticker or its manual.",
                ("spring.pressure",), Quantity.PRESSURE),
    ),
)  # fmt: skip
LOWERS: Final[Group] = (
    "With the lowers off",
    (
        Measure("shaft", "air shaft", "Caliper on the shaft where it is not scratched.",
                ("spring.shaft", "legs.spring.rod")),
        Measure("rod", "damper rod", "Caliper, as above.", ("damper.rod", "legs.damper.rod")),
        Measure("spring_oil", "bath oil, spring side", "From its manual; else as typical.",
                ("legs.spring.bath_oil",), Quantity.VOLUME),
        Measure("damper_oil", "bath oil, damper side", "From its manual; else as typical.",
                ("legs.damper.bath_oil",), Quantity.VOLUME),
    ),
)  # fmt: skip
SPRING: Final = (
    Measure("bore", "bore of the air tube", "Inside caliper, a hand's width in from the end.", ("spring.bore",)),
    Measure("volume_spacer", "one volume spacer", "Drop it into water in a measuring glass.",
            ("spring.positive.volume_spacer",), Quantity.VOLUME),
    Measure("most_volume_spacers", "most volume spacers", "How many the cap takes.",
            ("spring.positive.most_volume_spacers",), Quantity.COUNT),
    Measure("negative_length", "negative chamber", "Piston to seal head, topped out, without travel spacers.",
            ("spring.negative.length",)),
)  # fmt: skip
STACK: Final = (
    Measure("height", "one travel spacer, height", "Caliper.", ("mechanism.travel_spacers.height",)),
    Measure("outside", "one travel spacer, outside", "Caliper.", ("mechanism.travel_spacers.outside",)),
    Measure("most", "most travel spacers", "How many fit on the shaft.", ("mechanism.travel_spacers.most",),
            Quantity.COUNT),
    Measure("holes", "holes of the equaliser", "Count them; 1 where it cannot be moved.", ("equaliser.holes",),
            Quantity.COUNT),
    Measure("positive_length", "positive chamber, bottomed out", "Cap to piston, fork pushed in, no volume spacers.",
            ("spring.positive.length_bottomed",)),
)  # fmt: skip
TOPPED_OUT: Final = (
    Measure("positive_length", "positive chamber, topped out", "Cap to piston, fork drawn out, no volume spacers.",
            ("spring.positive.length_topped_out",)),
)  # fmt: skip
AIR_OUT: Final = "With the air spring out"

GROUPS: Final[dict[str, tuple[Group, ...]]] = {
    "air-fork/spacer-stack": (OUTSIDE, LOWERS, (AIR_OUT, (*STACK, *SPRING))),
    "air-fork/shaft-per-travel": (OUTSIDE, LOWERS, (AIR_OUT, (*TOPPED_OUT, *SPRING))),
    "air-fork/fixed": (OUTSIDE, LOWERS, (AIR_OUT, (*TOPPED_OUT, *SPRING))),
    "rear-air-shock": (("From outside, free of load", OUTSIDE[1][2:]),),
}
"""What is measured, by architecture."""

KINDS: Final = {
    "air-fork/spacer-stack": "Fork: travel set by spacers under the piston",
    "air-fork/shaft-per-travel": "Fork: one air shaft per travel",
    "air-fork/fixed": "Fork: travel cannot be changed",
    "rear-air-shock": "Rear air shock, service of the can",
}
"""What an architecture is, to somebody who holds a unit in hand."""
