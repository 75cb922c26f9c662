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
CAN: Final = (
    Measure("shaft", "body that the can slides on", "Caliper, where it is not scratched.", ("spring.shaft",)),
    Measure("positive_length", "positive chamber, topped out", "Far end of the can to the piston, shock drawn out, "
            "no volume spacers.", ("spring.positive.length_topped_out",)),
)  # fmt: skip
AIR_OUT: Final = "With the air spring out"

IDENTITY: Final = (
    Measure("maker", "maker", "As on the unit.", ("maker",), Quantity.COUNT),
    Measure("model", "model", "As on the unit, with its year if it says so.", ("model",), Quantity.COUNT),
)  # fmt: skip
WORDS: Final = frozenset(one.name for one in IDENTITY)
"""Fields that are no numbers."""
LONGEST_TRAVEL: Final = Measure("longest", "longest travel", "As its castings permit, with nothing in it that shortens "
                                "it.", (f"chassis.{NAMED}.longest",))  # fmt: skip
STROKE: Final = Measure("longest", "stroke", "How far the shaft goes in, eye to eye: length free of load less length "
                        "pushed in to the stop.", (f"chassis.{NAMED}.longest",))  # fmt: skip
A_RANGE: Final = (
    Measure("travels", "travels permitted", "A range, or a list with commas; left out, only the longest.",
            (f"chassis.{NAMED}.travels",)),
    Measure("every", "steps of that range", "Where travels is a range.", (f"chassis.{NAMED}.every",)),
)  # fmt: skip
A_LIST: Final = (
    Measure("travels", "travels there are shafts for", "A list with commas; left out, only the longest.",
            (f"chassis.{NAMED}.travels",)),
)  # fmt: skip
TRAVELS: Final = {
    "air-fork/spacer-stack": (LONGEST_TRAVEL, *A_RANGE),
    "air-fork/shaft-per-travel": (LONGEST_TRAVEL, *A_LIST),
    "air-fork/fixed": (LONGEST_TRAVEL,),
    "rear-air-shock": (STROKE,),
}
"""What is asked about travel, by architecture: one that cannot be changed is one number."""

GROUPS: Final[dict[str, tuple[Group, ...]]] = {
    "air-fork/spacer-stack": (OUTSIDE, LOWERS, (AIR_OUT, (*STACK, *SPRING))),
    "air-fork/shaft-per-travel": (OUTSIDE, LOWERS, (AIR_OUT, (*TOPPED_OUT, *SPRING))),
    "air-fork/fixed": (OUTSIDE, LOWERS, (AIR_OUT, (*TOPPED_OUT, *SPRING))),
    "rear-air-shock": (("From outside, free of load", OUTSIDE[1][2:]), ("With the air can off", (*CAN, *SPRING))),
}
"""What is measured, by architecture."""

KINDS: Final = {
    "air-fork/spacer-stack": "Fork: travel set by spacers under the piston",
    "air-fork/shaft-per-travel": "Fork: one air shaft per travel",
    "air-fork/fixed": "Fork: travel cannot be changed",
    "rear-air-shock": "Rear air shock, service of the can",
}
"""What an architecture is, to somebody who holds a unit in hand."""


def groups_of(architecture: str) -> tuple[Group, ...]:
    """Everything that is asked for one architecture, in the order in which one gets at it."""
    return (("What it says on it", (*IDENTITY, *TRAVELS[architecture])), *GROUPS[architecture])


def measures_of(architecture: str) -> tuple[Measure, ...]:
    """The same without headings."""
    return tuple(one for _, measures in groups_of(architecture) for one in measures)


def ranges(architecture: str) -> bool:
    """Whether its travels may be a range."""
    return any(one in A_RANGE for one in TRAVELS[architecture])
