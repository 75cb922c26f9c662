"""The sentences of findings about the bike: its frame's limits, its clearance, its stance, the load on it."""

from __future__ import annotations

from typing import Final

BIKE_TEMPLATES: Final = {
    "bike.contradicts": (
        "{bike}: the {what!k} printed, {printed}, is {off} off the {follows} that follows from its other numbers. "
        "Measure it, or find which number belongs to another size or another fork, before trusting its angles."
    ),
    "bike.radius-estimated": (
        "The {side} wheel's radius, {radius}, is only estimated from its tyre, {tyre}. Measure from axle to ground "
        "with the rider on, and write it as radius."
    ),
    "frame.too-long": (
        "Structural: an axle to crown of {wanted} is over the {limit} that the maker of {bike} permits. Stop, and ask "
        "the frame maker. Only their answer, written into answers with who, when and what, clears this."
    ),
    "frame.too-short": (
        "An axle to crown of {wanted} is under the {limit} that the maker of {bike} permits: steering, pedal strikes "
        "and warranty change. Ask the frame maker, and write who answered, when and what into answers."
    ),
    "frame.too-much-travel": (
        "Structural: {wanted} of travel is over the {limit} that the maker of {bike} permits. Stop, and ask the frame "
        "maker. Only their answer, written into answers with who, when and what, clears this."
    ),
    "frame.too-little-travel": (
        "{wanted} of travel is under the {limit} that the maker of {bike} permits: steering, pedal strikes and "
        "warranty change. Ask the frame maker, and write who answered, when and what into answers."
    ),
    "frame.unknown": (
        "It is not known what fork the maker of {bike} permits. Find its longest and shortest axle to crown, or "
        "travel, in the maker's manual before the unit goes back in."
    ),
    "frame.system-mass": (
        "Rider, gear and bike come to {whole}, over the {limit} that the maker of {bike} permits. Ask the frame maker, "
        "and write who answered, when and what into answers."
    ),
    "frame.rotor": (
        "The front rotor, {fitted}, is over the {limit} that the maker of {bike} permits. Fit a permitted one, or ask "
        "the frame maker and write who answered, when and what into answers."
    ),
    "maker.asked": "Maker asked about {about}. {who}, {when}: “{answer}” Keep the answer with the job.",
    "clearance.contact": (
        "At full compression the tyre touches the {place}: the gap is {gap} ({how}). Do not ride it. Fit a smaller "
        "tyre, or what the maker permits, and measure again: air out, tyre at its highest pressure, bottomed by hand."
    ),
    "clearance.small": (
        "At full compression the gap from tyre to {place} is {gap} ({how}), too near the margin of {margin}. Measure "
        "it: air out, tyre at its highest pressure, bottomed by hand, wheel pushed toward it. Ask who answers for it."
    ),
    "clearance.unknown": (
        "Nobody has measured the gap from tyre to crown, arch and down tube on {bike}. Measure it with the air out: "
        "tyre at its highest pressure, bottomed by hand; write it into the bike's clearance."
    ),
    "clearance.unchanged": (
        "On chassis {chassis} a change of travel leaves the gaps round the tyre as they are, because the bottomed "
        "position stays. Another tyre, wheel, chassis, mudguard or bumper changes them: then measure again."
    ),
    "clearance.under-test": (
        "Under {force} along the steerer {spring!k} (the tyre-clearance test of ISO 4210-6, as its adoption TBIS "
        "4210-6:2019 states it) {left} would be left from tyre to {place}. Computed; it is not the "
        "test."
    ),
    "stance.other-changes": (
        "A change of travel ({change}) changes the free length of the hose, the pedal height and, on a dual crown, "
        "where the stops meet. Turn the bars from stop to stop and look at each before the bike goes out."
    ),
    "load.scale": (
        "The load, {load}, follows from {reading} on a scale under the front wheel, less what is unsprung, turned "
        "along the fork by the head angle at sag. Read it again if the rider did not stand as they ride."
    ),
    "load.posture-unfit": (
        "A rider of {height} does not reach the pedals and grips of {bike}, {posture}, with the numbers given, or its "
        "reach and stack are missing. Check height, saddle and grips; until then a front share is used."
    ),
    "load.posture": (
        "The load, {load}, follows from {mass} of rider and gear, {posture}, and from how the bike stands at sag; "
        "the position of the rider's mass is assumed. If the sag must be right, weigh what the front wheel carries."
    ),
}
