"""The sentence of every finding: what is the matter, then what to do. findings.py reads the blanks."""

from __future__ import annotations

from typing import Final

from sagwright.phrases.bike_finding_templates import BIKE_TEMPLATES

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
    "target.own-pressure-outside": (
        "A pressure of {wanted} in the {chamber} chamber is not within the {low} to {high} that the sheet "
        "permits there. Wish for one that is, or leave it open."
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
    "found.overlap-short": (
        "At the travel found the stanchions reach {left} past the lower bushings, topped out; {least} are needed. Do "
        "not ride it so: find out what sets this travel."
    ),
    "found.damper-short": (
        "The travel found, {travel}, is more than the damper's stroke, {stroke}: the damper ends the travel and takes "
        "the blow. Find out what sets this travel."
    ),
    "found.travel-contradicts": (
        "The travel measured, {measured}, is not the {gives} that the settings found would give. Measure "
        "again with the air out, and count what is inside once it is open."
    ),
    "found.pressure-over": (
        "The pressure found, {found}, is over the {high} that the sheet permits. Read it again with "
        "another pump; if the reading stands, inspect cap, seals and retaining ring with that in mind and write "
        "down what they show."
    ),
    "found.pressure-under": (
        "The pressure found, {found}, is under the {low} that the sheet permits. Ask whether it was ridden "
        "like that or has leaked; if it leaked, record that in as_found.charge."
    ),
    "found.own-pressure-unread": (
        "Nobody read the pressure of the {chamber} chamber at its own valve, so how it rode is computed with the "
        "spec sheet's {assumed}. Read it before anything is touched, and write {chamber}_pressure in "
        "as_found.charge."
    ),
    "found.own-pressure-outside": (
        "The pressure found in the {chamber} chamber, {found}, is not within the {low} to {high} that the "
        "sheet permits there. Read it again; if it stands, ask whether it was set so or has leaked."
    ),
    "found.transfer-port-behind": (
        "The transfer port is {holes:position} behind its travel spacers: it is never passed, the negative "
        "chamber stays empty[, and it takes about {breakaway} to start moving]. Ask who set the travel "
        "last; the work puts it right."
    ),
    "found.transfer-port-ahead": (
        "The transfer port is {holes:position} ahead of its travel spacers: it opens late, and the unit rests "
        "[about {rests} ]in its travel. Ask who set the travel last; the work puts it right."
    ),
    "found.not-cycled": (
        "The pressure was read before the unit was worked through the transfer port, so it is not what was "
        "ridden. Cycle it with slow strokes, read again, and correct as_found.charge."
    ),
    "found.unknown-until-open": (
        "Nobody can know until the unit is open: {what!k}. The options allow for every possibility; "
        "write down what is found at its step, and plan again before going on."
    ),
}

_COIL: Final = {
    "coil.none-fits": (
        "At {wanted} of travel every coil of the sheet is either loose topped out or solid before full travel, "
        "whatever preload spacers lie on it. Wish for another travel, or add a coil to the sheet."
    ),
    "target.coil-unfit": (
        "What is wished for (coil {coil}[, {spacers:preload spacer}]) would be loose topped out or solid before full "
        "travel at {wanted} of travel. Leave it open, or wish for another."
    ),
    "found.top-out-spacers-too-many": (
        "Found: {found:top-out spacer}, where at most {most} fit. Count them again, and check that this sheet and "
        "chassis belong to the unit."
    ),
    "found.preload-spacers-too-many": (
        "Found: {found:preload spacer}, where at most {most} fit. Count them again, and check that they and the sheet "
        "belong to the unit."
    ),
    "found.preload-over": (
        "The preload adjuster was recorded as turned in by {found}, but goes no further than {most}. Count its turns "
        "again, from fully out."
    ),
    "found.preload-unknown": (
        "Nobody has counted the turns of the preload adjuster, so how it rode cannot be computed. Count them from "
        "fully out before anything else is turned, and write them into as_found.preload_turns."
    ),
    "found.coil-loose": (
        "Coil {coil} is {loose} too short for its seats topped out: it knocks and the fork drops before it springs. "
        "Ask who fitted it; look at seats and guide for marks once it is out."
    ),
    "found.coil-bound": (
        "Coil {coil} is solid {short} before full travel: its turns take every hard landing. Look at coil, seats, cap "
        "and shaft for damage once it is out, and find out who stacked it so."
    ),
    "found.coil-presses-cap": (
        "With its adjuster backed off the coil still presses its cap with up to {force}, and lifts it by {lift}. Hold "
        "the cap down until it is that far up; where that is more than one hand holds, do not open it without a press."
    ),
    "coil.aim-out-of-reach": (
        "No preload that coil {coil} takes meets the aim; the nearest, {preload}, is shown. Ask whether that will do, "
        "add a coil to the sheet, or change the aim."
    ),
    "coil.solid-unknown": (
        "The spec sheet does not say how coil {coil} is made, so how near it comes to solid is unknown. Measure its "
        "wire, count its turns and write both into the sheet before it is ridden hard."
    ),
    "coil.near-solid": (
        "At full travel coil {coil} has {left} left before it is solid; its turns should keep {gaps} between them. Ask "
        "whether the maker permits it, or take away preload."
    ),
    "coil.overstressed": (
        "At full travel the wire of coil {coil} carries {share} of the stress that makes it set, by the typical "
        "strength of such wire. Ask its maker for the stroke it is made for, and measure its free length again after "
        "some rides."
    ),
    "coil.bows-out": (
        "Coil {coil} bows out sideways from {bows} on and is pressed by {pressed}, with nothing to guide it. Ask for "
        "its guide or sleeve; without one it rubs and wears."
    ),
    "coil.stack-gives": (
        "The top-out spacers hold the fork {by} further in and press the coil by as much. The preload shown is the "
        "total: what is too much leaves the preload stack, or the spring goes toward solid."
    ),
    "coil.stack-takes": (
        "With fewer top-out spacers the fork stands {by} further out, and the coil is that much less pressed. The "
        "preload shown is the total: the preload stack takes what is missing, or the coil knocks loose."
    ),
}

_CHOICE: Final = {
    "aim.as-it-rode-not-offered": (
        "'As it rode' cannot be offered as an aim: {why!k}. Look at the aim that was used instead; if it is "
        "not what is wanted, state another in wish.aim."
    ),
    "aim.as-it-rode-not-allowed": ("'As it rode' is no aim here: {why!k}. Wish for a sag or a capacity instead."),
    "aim.out-of-reach": (
        "No permitted pressure meets the aim; the nearest, {limit}, is shown. Ask whether that will do, or "
        "change the aim."
    ),
    "charge.age-unknown": (
        "It is not known when the pressure was last set, so it may not be what was ridden. Ask, and write "
        "it into as_found.charge as last_set."
    ),
    "charge.stale": (
        "The pressure was last set {age} ago, long enough to have leaked. Ask whether it still rode as it "
        "should; if not, record in as_found.charge that it leaked, and aim for a sag."
    ),
    "load.assumed": (
        "No load was given. It is taken as {load}, what the unit as found carries at 20 % of its travel. "
        "Weigh the rider, or give the load, and plan again."
    ),
    "load.share": (
        "The load, {load}, is {share} ({origin}) of {mass} of rider and gear. If the sag must be right, weigh "
        "what the front wheel carries with the rider on the bike."
    ),
    "as-found-pressure.none": (
        "'Pressure as found' cannot be shown: {why!k}. Compare the options by their sag instead."
    ),
}

_WORK: Final = {
    "length.changes": (
        "The fork's length changes by {change}[, axle to crown from {before} to {after}], and with it head angle, "
        "bottom bracket height and reach. Check that the frame permits this length."
    ),
    "task.contradicts": (
        "The task {task} asks for {asked}, and {field} for {wished}. Only one of them can be done: drop the task, or "
        "let the wish say the same."
    ),
    "task.included": "{task} is already part of this work. Leave it on the list; nothing more is opened for it.",
    "torque.unknown": (
        "The torque of {item} is not known yet. Find the value, with its thread state, in the maker's "
        "manual before that step; do not guess it."
    ),
    "values.typical": (
        "Only typical of such units, not this maker's: {torques:torque}. Confirm them from the maker's "
        "manual, and write them into the sheet with their origin."
    ),
}

FINDING_TEMPLATES: Final[dict[str, str]] = {**_WISH, **_FOUND, **_CHOICE, **_COIL, **BIKE_TEMPLATES, **_WORK}

FINDING_WORDS: Final = {
    "pressure-unknown": "the pressure it was ridden at is not known",
    "not-cycled": "the pressure was read before the unit was worked through the transfer port",
    "leaked": "the pressure has changed since it was ridden",
    "transfer-port-wrong": "the transfer port was not at the position that goes with its travel spacers",
    "travel_spacers": "travel spacers",
    "port_position": "port position",
    "volume_spacers": "volume spacers",
    "shaft_travel": "air shaft",
    "preload-unknown": "it is not known how far its preload was turned in, or which coil is in it",
    "top_out_spacers": "top-out spacers",
    "coil": "coil",
    "preload_spacers": "preload spacers",
    "lowest-pressure": "at the lowest permitted pressure",
    "chosen-coil": "on the coil chosen",
    "wheelbase": "wheelbase",
    "front_centre": "front centre",
    "bb_height": "bottom bracket height",
    "head_tube": "head tube",
}
