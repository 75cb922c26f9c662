"""Items and the work on them, as they are written in a sheet."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field as About

from sagwright.domain.item import Part, Role, Tool, Torque, Verdict
from sagwright.domain.value import Quantity, Value
from sagwright.formats.fields.kinds import PART, TOOL, TORQUE, Name, QuantityField, Shape, Words, YesNo, word

Sentence = Annotated[str, Words()]
Label = Annotated[str, Words(80)]
Key = Annotated[str, Name()]
Minutes = Annotated[Value, QuantityField(Quantity.TIME, 1.0, 8 * 3600.0)]
Wait = Annotated[Value, QuantityField(Quantity.TIME, 60.0, 7 * 86400.0)]


class CautionShape(Shape):
    """What can hurt, under its signal word; one word per entry."""

    danger: Sentence | None = About(None, description="Will kill or injure seriously.")
    warning: Sentence | None = About(None, description="Can kill or injure seriously.")
    caution: Sentence | None = About(None, description="Can injure lightly.")
    notice: Sentence | None = About(None, description="Can damage the unit.")


class RecordShape(Shape):
    """A reading or a sighting that must be written down."""

    what: Sentence = About(description="What to read or look at.", examples=["Gauge pressure after venting."])
    quantity: Annotated[Quantity, word(Quantity)] | None = About(
        None, description="Kind of number; left out where the answer is yes or words.", examples=["pressure"]
    )
    in_words: Annotated[bool, YesNo()] = About(
        False, description="Whether the answer is words, where yes or no would not do."
    )
    limits: Label | None = About(
        None,
        description="Limits within which the step is passed.",
        examples=["0..2 psi", "at least 10 mm", "at most 2 psi"],
    )


class FluidShape(Shape):
    """A fluid and how much; without an amount a film or smear is meant, or what the leg takes."""

    name: Label = About(description="What it is.", examples=["air-spring grease"])
    amount: Annotated[Value, QuantityField(Quantity.VOLUME, 1e-8, 1e-3)] | None = About(
        None, description="How much, for this one act.", examples=["1 ml"]
    )


class PressShape(Shape):
    """How far a charged unit is pressed in to read its pressure there."""

    share: Annotated[Value, QuantityField(Quantity.FRACTION, 0.05, 0.6)] = About(
        description="Share of the travel; {share} stands for it in the instruction.", examples=["50 %"]
    )
    gauge_range: Annotated[Value, QuantityField(Quantity.PRESSURE, 1e5, 1e8)] = About(
        description="The most the gauge shows.", examples=["300 psi"]
    )


class WorkShape(Shape):
    """How one act on an item is done."""

    do: Sentence = About(description="The instruction, in whole sentences.", examples=["Undo the cap by hand."])
    position: Label = About(description="How the unit is held.", examples=["upright in the stand"])
    minutes: Minutes = About(description="Expected time with its spread.", examples=["3 ± 1 min"])
    tools: list[Annotated[Tool, TOOL]] = About(
        [],
        description='Tools with their sizes; "special: " before what an ordinary workshop may lack.',
        examples=["socket 26 mm"],
    )
    torque: Annotated[Torque, TORQUE] | None = About(
        None,
        description="Torque, thread state, thread hand if left, origin.",
        examples=["24 ± 2 N·m greased, maker's manual", "find the value, dry", "8 N·m dry, left hand"],
    )
    fluid: FluidShape | None = About(None, description="Grease, oil or threadlocker that goes on or in.")
    cautions: list[CautionShape] = About([], description="Shown before the action, worst first.")
    hold_point: Annotated[bool, YesNo()] = About(
        False, description="A hold point: the step is not passed without its recorded evidence.", examples=["yes"]
    )
    record: dict[Key, RecordShape] = About({}, description="What must be written down, by key.")
    waiting: Wait | None = About(None, description="Time to wait afterwards, for a cure.", examples=["30 min"])
    press: PressShape | None = About(None, description="Where a charged unit is pressed in, on a measure only.")


class CriterionShape(Shape):
    """One thing to inspect once the item is off."""

    look_for: Sentence = About(description="What to look for.", examples=["Wear of the coating."])
    limit: Label = About(description="The limit in words.", examples=["no bare metal"])
    otherwise: Annotated[Verdict, word(Verdict)] = About(description="What a failure leads to.", examples=["renew"])
    quantity: Annotated[Quantity, word(Quantity)] | None = About(
        None, description="Kind of number, where it is measured.", examples=["length"]
    )
    value: Label | None = About(None, description="The limit as a number.", examples=["0.25 mm"])


class ItemShape(Shape):
    """A thing taken off and fitted: a part, a fastener, a charge, a fill, a setting."""

    name: Label = About(description="What it is called at the stand.", examples=["air cap"])
    role: Annotated[Role, word(Role)] | None = About(
        None, description="What it is to the safety rules.", examples=["air cap"]
    )
    leg: Key | None = About(None, description="The leg it belongs to.", examples=["spring"])
    covered_by: list[Key] = About([], description="What must be off before it can come off.")
    after: list[Key] = About([], description="What must be on before it goes on, besides what it covers.")
    off: WorkShape | None = About(None, description="Take off, let out, drain, record.")
    on: WorkShape | None = About(None, description="Fit, fill, set back.")
    change: WorkShape | None = About(None, description="Bring to the target's setting while in the open.")
    check: WorkShape | None = About(None, description="Show that it holds, right after it is on.")
    inspect: WorkShape | None = About(None, description="How its criteria are looked at.")
    charge: WorkShape | None = About(None, description="Pump to the pressure that the step shows.")
    cycle: WorkShape | None = About(
        None, description="Work the unit through the transfer port; {cycles} stands for the strokes."
    )
    measure: WorkShape | None = About(None, description="Measure something on it.")
    renew: list[Annotated[Part, PART]] = About(
        [], description="Single-use parts: new whenever it goes on.", examples=["crush washer 8 × 14 mm"]
    )
    criteria: dict[Key, CriterionShape] = About({}, description="What to inspect once it is off, by key.")
