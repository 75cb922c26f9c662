"""The sentence of every finding: what is the matter, then what to do. findings.py reads the blanks."""

from __future__ import annotations

from typing import Final

_WISH: Final = {
    "travel.not-permitted": (
        "{wanted} of travel is not permitted on chassis {chassis}, which takes {low} to {high}. Wish for "
        "a permitted one[; the next shorter is {below}][; the next longer is {above}]. Beyond these only "
        "the maker can say yes."
    ),
    "travel.out-of-reach": (
        "Nothing on the sheet makes {wanted} of travel on chassis {chassis}. Wish for a travel that an "
        "air shaft or a number of travel spacers makes, or add the missing part to the sheet if the maker "
        "offers it."
    ),
    "travel.already": (
        "The unit already has the {wanted} of travel wished for, so nothing that sets the travel changes. If "
        "that is not what was meant, correct the wish."
    ),
    "target.travel-spacers-too-many": (
        "Wished for: {wanted:travel spacer}; at most {most} fit. Leave wish.travel_spacers out; it "
        "follows from the travel."
    ),
    "target.travel-spacers-contradict": (
        "Wished for: {spacers:travel spacer}, which would give {gives} and not {wanted} of travel. Leave "
        "wish.travel_spacers out, or wish for the travel they give."
    ),
    "target.volume-spacers-too-many": (
        "Wished for: {wanted:volume spacer}; at most {most} fit at this travel. Wish for {most} or fewer, "
        "or leave them open."
    ),
    "target.pressure-over": (
        "A pressure of {wanted} is over the {high} that the sheet permits. Wish for {high} or less, or "
        "leave the pressure open."
    ),
    "target.pressure-under": (
        "A pressure of {wanted} is under the {low} that the sheet permits. Wish for {low} or more, or "
        "leave the pressure open."
    ),
}

_FOUND: Final = {
    "found.travel-spacers-too-many": (
        "Found: {found:travel spacer}, where at most {most} fit. Count them again, and check that this "
        "sheet and chassis belong to the unit."
    ),
    "found.volume-spacers-too-many": (
        "Found: {found:volume spacer}, where at most {most} fit. Count them again, and check that they "
        "and the sheet belong to the unit."
    ),
    "found.travel-not-permitted": (
        "The travel found, {found}, is none that this chassis permits; it takes {low} to {high}. Measure "
        "again, and check that sheet and chassis belong to the unit."
    ),
    "found.travel-contradicts": (
        "The travel measured, {measured}, is not the {gives} that the settings found would give. Measure "
        "again with the air out, and count what is inside once it is open."
    ),
    "found.pressure-over": (
        "The pressure found, {found}, is over the {high} that the sheet permits. Read it again with "
        "another pump; if it stands, inspect cap, seals and clip with that in mind and write down what "
        "they show."
    ),
    "found.pressure-under": (
        "The pressure found, {found}, is under the {low} that the sheet permits. Ask whether it was ridden "
        "like that or has leaked; if it leaked, say so in as_found.charge."
    ),
    "found.equaliser-behind": (
        "The equaliser stands {holes:hole} behind its travel spacers: it is never passed, the negative "
        "chamber stays empty[, and it takes about {breakaway} to start moving]. Ask who set the travel "
        "last; the work puts it right."
    ),
    "found.equaliser-ahead": (
        "The equaliser stands {holes:hole} ahead of its travel spacers: it opens late, and the unit rests "
        "[about {rests} ]in its travel. Ask who set the travel last; the work puts it right."
    ),
    "found.not-cycled": (
        "The pressure was read before the unit was worked through the equaliser, so it is not what was "
        "ridden. Cycle it with slow strokes, read again, and correct as_found.charge."
    ),
    "found.unknown-until-open": (
        "Nobody can know until the unit is open: {what!k}. The candidates allow for every possibility; "
        "write down what is found at its step, and plan again before going on."
    ),
}

_CHOICE: Final = {
    "aim.as-it-rode-not-offered": (
        "'As it rode' cannot be offered as an aim: {why!k}. Look at the aim that was used instead; if it is "
        "not what is wanted, state another in wish.aim."
    ),
    "aim.as-it-rode-refused": ("'As it rode' is no aim here: {why!k}. Wish for a sag or a capacity instead."),
    "aim.out-of-reach": (
        "No permitted pressure meets the aim; the nearest, {limit}, is shown. Ask whether that will do, or "
        "change the aim."
    ),
    "charge.age-unknown": (
        "Nobody has said when the pressure was last set, so it may not be what was ridden. Ask, and write "
        "it into as_found.charge as last_set."
    ),
    "charge.stale": (
        "The pressure was last set {age} ago, long enough to have leaked. Ask whether it still rode as it "
        "should; if not, say in as_found.charge that it leaked, and aim for a sag."
    ),
    "load.assumed": (
        "Nobody gave a load. It is taken as {load}, what the unit as found carries at 20 % of its travel. "
        "Weigh the rider, or give the load, and plan again."
    ),
    "load.share": (
        "The load, {load}, is {share} ({origin}) of {mass} of rider and kit. If the sag must be right, weigh "
        "what the front wheel carries with the rider on the bike."
    ),
    "same-pressure.none": (
        "'The same pressure again' cannot be shown: {why!k}. Compare the candidates by their sag instead."
    ),
}

_WORK: Final = {
    "length.changes": (
        "The fork's length changes by {change}[, axle to crown from {before} to {after}], and with it head angle, "
        "bottom bracket height and reach. Check that the frame permits this length."
    ),
    "torque.unknown": (
        "Nobody has found the torque of {item} yet. Find the value, with its thread state, in the maker's "
        "manual before that step; do not guess it."
    ),
    "values.typical": (
        "Only typical of such units, not this maker's: {torques:torque}. Confirm them from the maker's "
        "manual, and write them into the sheet with their origin."
    ),
}

TEMPLATES: Final[dict[str, str]] = {**_WISH, **_FOUND, **_CHOICE, **_WORK}

WORDS: Final = {
    "pressure-unknown": "nobody knows the pressure it was ridden at",
    "not-cycled": "the pressure was read before the unit was worked through the equaliser",
    "leaked": "the pressure has changed since it was ridden",
    "equaliser-wrong": "the equaliser did not stand where its travel spacers ask for it",
    "travel_spacers": "travel spacers",
    "equaliser_hole": "equaliser hole",
    "volume_spacers": "volume spacers",
    "shaft_travel": "air shaft",
}
