"""The format intake/1 as it is written."""

from __future__ import annotations

import re
from typing import Annotated, Final, Literal

from pydantic import BeforeValidator
from pydantic import Field as About

from sagwright.domain.intake import AimKind, Posture
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Quantity, Unknown, Value
from sagwright.errors import WrongUnit
from sagwright.formats.bike.shape import OutlineShape
from sagwright.formats.fields.kinds import (
    Count,
    Day,
    Field,
    Name,
    OrUnknown,
    Phrase,
    QuantityField,
    Shape,
    Word,
    Words,
    YesNo,
    word,
)
from sagwright.formats.fields.tasks import EXAMPLES, read_task
from sagwright.formats.sheet.item_shape import Key, Label

INTAKE: Final = "intake/1"

_TRAVEL: Final = QuantityField(Quantity.LENGTH, 0.01, 0.4)
_PRESSURE: Final = QuantityField(Quantity.PRESSURE, -1e5, 50e5)
_BARE: Final = re.compile(r"\d+(?:[.,]\d+)?", re.ASCII)
_COUNT: Final = OrUnknown(Count(), Unknown.UNTIL_OPEN)

_TASK: Final = Phrase(read_task, rf"^({'|'.join(kind for kind in TaskKind)})")

TURNS: Final = QuantityField(Quantity.RATIO, 0.0, 60.0)

Counted = Annotated[int | Unknown, _COUNT]
Temperature = Annotated[Value, QuantityField(Quantity.TEMPERATURE, 233.15, 333.15)]
AirPressure = Annotated[Value, QuantityField(Quantity.PRESSURE, 5e4, 1.1e5)]


class UnitShape(Shape):
    """The fork on the bench."""

    serial: Annotated[str, Words(40)] | None = About(
        None, description="Serial number as found on it; left out where there is none.", examples=["0417"]
    )
    chassis: Key = About(description="Its castings, by the name in the sheet.", examples=["mid"])


class ChargeShape(Shape):
    """The charge as it came in."""

    pressure: Annotated[Value | Unknown, OrUnknown(_PRESSURE, Unknown.NOT_MEASURED)] = About(
        description="Gauge, at the valve.", examples=["78 psi", "not measured"]
    )
    second_pressure: Annotated[Value, _PRESSURE] | None = About(
        None, description="Gauge, of a second positive chamber, at its own valve.", examples=["150 psi"]
    )
    negative_pressure: Annotated[Value, _PRESSURE] | None = About(
        None, description="Gauge, of a negative chamber with its own valve.", examples=["70 psi"]
    )
    compression: Annotated[Value, QuantityField(Quantity.LENGTH, 0.0, 0.4)] | None = About(
        None, description="Where the fork stood when it was read; topped out if left out.", examples=["0 mm"]
    )
    temperature: Temperature | None = About(None, description="Of the fork; the workshop's if left out.")
    air_pressure: AirPressure | None = About(None, description="Absolute; the workshop's if left out.")
    cycled: Annotated[bool, YesNo()] = About(
        True, description="Whether it was worked through the transfer port since it was filled."
    )
    leaked: Annotated[bool, YesNo()] = About(
        False, description="Whether the pressure is known not to be what was ridden."
    )
    last_set: Annotated[Value, QuantityField(Quantity.TIME, 0.0, 1e9)] | None = About(
        None, description="How long ago the pressure was last set.", examples=["5 days"]
    )


def _charge(raw: object) -> object:
    """The words alone stand for a charge with nothing else known."""
    return {"pressure": raw} if isinstance(raw, str) else raw


class LegStateShape(Shape):
    """A leg as it came in, where it is known to differ from the sheet."""

    lower_leg_oil: Annotated[Value, QuantityField(Quantity.VOLUME, 0.0, 5e-4)] | None = About(
        None, description="Lower-leg oil in it; as in the sheet if left out.", examples=["15 ml"]
    )
    closed_at: Annotated[Value, QuantityField(Quantity.LENGTH, 0.0, 0.4)] | None = About(
        None, description="Compression it was closed at; topped out if left out.", examples=["30 mm"]
    )
    temperature: Temperature | None = About(
        None, description="It was closed at; the workshop's if left out.", examples=["5 °C"]
    )
    air_pressure: AirPressure | None = About(
        None, description="Absolute, it was closed in; the workshop's if left out.", examples=["1013 hPa"]
    )


class AsFoundShape(Shape):
    """The fork before anyone touched it."""

    travel: Annotated[Value | Unknown, OrUnknown(_TRAVEL, Unknown.NOT_MEASURED)] = About(
        description="Travel as measured, or as the customer gives it.", examples=["150 mm", "not measured"]
    )
    travel_spacers: Counted | None = About(
        None,
        description="Under the piston, where spacers set the travel.",
        examples=["unknown until open", "1"],
    )
    port_position: Counted | None = About(
        None,
        description="Hole the transfer port stands in, 0 for no spacer.",
        examples=["unknown until open", "1"],
    )
    air_shaft: Annotated[Value | Unknown, OrUnknown(_TRAVEL, Unknown.UNTIL_OPEN)] | None = About(
        None, description="Travel of the air shaft in it, where shafts set the travel.", examples=["130 mm"]
    )
    volume_spacers: Counted | None = About(
        None,
        description="In the positive chamber; left out where there is a coil.",
        examples=["unknown until open", "1"],
    )
    charge: (
        Annotated[ChargeShape, BeforeValidator(_charge, json_schema_input_type=ChargeShape | Literal["not measured"])]
        | None
    ) = About(
        None,
        description="The charge as it came in; left out where there is a coil.",
        examples=["not measured"],
    )
    top_out_spacers: Counted | None = About(
        None, description="Under the top-out of a coil fork.", examples=["unknown until open", "1"]
    )
    coil: Annotated[str | Unknown, OrUnknown(Name(), Unknown.UNTIL_OPEN)] | None = About(
        None, description="The coil in it, by the name in the sheet.", examples=["unknown until open", "medium"]
    )
    preload_spacers: Counted | None = About(None, description="On top of the coil.", examples=["2"])
    preload_turns: Annotated[Value | Unknown, OrUnknown(TURNS, Unknown.NOT_MEASURED)] | None = About(
        None, description="Turns of the preload adjuster, from fully out.", examples=["3", "not measured"]
    )
    legs: dict[Key, LegStateShape] = About({}, description="Legs that differ from the sheet, by name.")


class RiderShape(Shape):
    """Who rides it."""

    mass: Annotated[Value, QuantityField(Quantity.MASS, 10.0, 250.0)] = About(description="Body.", examples=["80 kg"])
    gear: Annotated[Value, QuantityField(Quantity.MASS, 0.0, 100.0)] = About(
        description="Worn and carried.", examples=["4 kg"]
    )
    front_share: Annotated[Value, QuantityField(Quantity.FRACTION, 0.05, 0.95)] | None = About(
        None, description="Share of both that loads the fork along its axis.", examples=["40 %"]
    )
    height: Annotated[Value, QuantityField(Quantity.LENGTH, 1.2, 2.2)] | None = About(
        None, description="With a bike, instead of a share: the load follows from the posture.", examples=["1.78 m"]
    )
    posture: Annotated[Posture, word(Posture)] = About(
        Posture.STANDING, description="How the sag is read.", examples=["standing level"]
    )


class ShareOrLength(Field):
    """A sag: a share of travel or a length."""

    def read(self, text: str) -> object:
        """A share or a length, by the unit; a number alone is a share only where it can be one."""
        if _BARE.fullmatch(text) and float(text.replace(",", ".")) > 1.0:
            rule = "must say its unit: a share of travel or a length"
            raise WrongUnit(rule, value=text, remedy=f"Did you mean {text} % or {text} mm?")
        for field in (QuantityField(Quantity.FRACTION, 0.01, 0.6), QuantityField(Quantity.LENGTH, 0.001, 0.2)):
            try:
                return field.quantity, field.read(text)
            except WrongUnit:
                continue
        raise WrongUnit(
            "must be a share of travel or a length, like 20 % or 28 mm",
            value=text,
            remedy="Write % or mm after it.",
        )


class AimShape(Shape):
    """A sag or a capacity; exactly one."""

    sag: Annotated[tuple[Quantity, Value], ShareOrLength()] | None = About(
        None, description="Standing, as a share of travel or in mm.", examples=["20 %", "28 mm"]
    )
    capacity: Annotated[Value, QuantityField(Quantity.ENERGY, 1.0, 2000.0)] | None = About(
        None, description="Energy to full travel.", examples=["140 J"]
    )
    kind: Annotated[str, Word({AimKind.AS_IT_RODE.value: AimKind.AS_IT_RODE.value})] | None = None


def _aim(raw: object) -> object:
    """A word alone is a kind of aim."""
    return {"kind": raw} if isinstance(raw, str) else raw


class WishShape(Shape):
    """What the customer wants; whatever is written here is pinned."""

    travel: Annotated[Value, _TRAVEL] = About(description="Wanted travel.", examples=["140 mm"])
    aim: Annotated[AimShape, BeforeValidator(_aim, json_schema_input_type=AimShape | Literal["as-it-rode"])] | None = (
        About(None, description="What to be nearest to.", examples=["as-it-rode", {"sag": "20 %"}])
    )
    travel_spacers: Annotated[int, Count()] | None = About(None, description="Pinned count.", examples=["2"])
    volume_spacers: Annotated[int, Count()] | None = About(None, description="Pinned count.", examples=["1"])
    coil: Key | None = About(None, description="Pinned coil, by the name in the sheet.", examples=["firm"])
    preload_spacers: Annotated[int, Count()] | None = About(None, description="Pinned count.", examples=["2"])
    pressure: Annotated[Value, _PRESSURE] | None = About(
        None, description="Pinned pressure, gauge, topped out, in the workshop.", examples=["80 psi"]
    )
    second_pressure: Annotated[Value, _PRESSURE] | None = About(
        None, description="Pinned pressure of a second positive chamber, gauge, topped out.", examples=["150 psi"]
    )
    negative_pressure: Annotated[Value, _PRESSURE] | None = About(
        None, description="Pinned pressure of a negative chamber, gauge, topped out.", examples=["70 psi"]
    )


class WorkshopShape(Shape):
    """The air around the bench."""

    temperature: Temperature | None = About(None, description="20 °C if left out.", examples=["21 °C"])
    air_pressure: AirPressure | None = About(
        None, description="Absolute, not reduced to sea level; 1013 hPa if left out.", examples=["1009 hPa"]
    )


class AnswerShape(Shape):
    """A maker's answer to a question."""

    about: Annotated[str, Words(40)] = About(
        description="The finding it answers, by its code.", examples=["frame.too-short"]
    )
    who: Label = About(description="Who answered.", examples=["frame maker, service desk"])
    when: Annotated[str, Day()] = About(description="Year-month-day.", examples=["2026-03-02"])
    answer: Annotated[str, Words(500)] = About(description="The answer itself.", examples=["Down to 516 mm is fine."])


def _bike(raw: object) -> object:
    """A path alone stands for a bike's file."""
    return {"file": raw} if isinstance(raw, str) else raw


class IntakeShape(Shape):
    """One unit with its wish."""

    shape: Annotated[str, Word({INTAKE: INTAKE})] = About(description="Which format this is.")
    name: Label = About(description="The workshop's own reference.", examples=["2026-0113"])
    sheet: Label = About(
        description="The sheet of its family: a shipped name, or a path from this file.",
        examples=["specimen/t35"],
    )
    unit: UnitShape = About(description="The fork on the bench.")
    as_found: AsFoundShape = About(description="The fork before anyone touched it.")
    rider: RiderShape | None = About(None, description="Who rides it; left out for a posted fork.")
    load: Annotated[Value, QuantityField(Quantity.FORCE, 20.0, 3000.0)] | None = About(
        None, description="Force along the fork at rest, if it was measured.", examples=["320 ± 15 N"]
    )
    front_scale: Annotated[Value, QuantityField(Quantity.MASS, 5.0, 250.0)] | None = About(
        None,
        description="A scale under the front wheel, rider on, both wheels as high.",
        examples=["41 ± 0.5 kg"],
    )
    bike: Annotated[OutlineShape, BeforeValidator(_bike, json_schema_input_type=OutlineShape | str)] | None = About(
        None,
        description="A bike/1 file, as a path from this one; or what is known of the bike of a posted fork.",
        examples=["bikes/trail.yaml", {"head_angle": "65°", "wheelbase": "1230 mm"}],
    )
    technician: RiderShape | None = About(
        None, description="Who sits on the bike for the final check, if not the rider."
    )
    answers: list[AnswerShape] = About([], description="Makers' answers to questions.")
    wish: WishShape = About(description="What the customer wants.")
    tasks: list[Annotated[Task, _TASK]] = About(
        [],
        description="Other work in the same opening, written as for `sagwright steps`.",
        examples=["wipers", "damper", EXAMPLES[TaskKind.INSPECT]],
    )
    workshop: WorkshopShape = About(
        WorkshopShape(temperature=None, air_pressure=None), description="The air around the bench."
    )
