"""What is asked at the counter, and how: every field of checking in, with what was typed into it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.coil_spring import CoilOnOffer
from sagwright.domain.intake import Posture
from sagwright.domain.item import Criterion, Role, Verdict
from sagwright.domain.sheet import ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown
from sagwright.formats.intake.facts import quantity_of_fact
from sagwright.phrases.intake_labels import LABELS
from sagwright.phrases.sheets import chassis_text
from sagwright.units import UnitChoice
from sagwright.web.http.form import Box, Form, Pick, pick_buttons

NOT_ANSWERED: Final = ".untold"
NOT_MEASURED, UNTIL_OPEN = Unknown.NOT_MEASURED.value, Unknown.UNTIL_OPEN.value
TASKS: Final = {
    "lower-legs": "lower legs: oil, foams, wipers cleaned",
    "wipers": "new wipers and foam rings",
    "air-spring": "air spring, or the can of a shock: new seals",
    "damper": "damper removed and refitted",
}
AIMS: Final = {"as-it-rode": "as it rode", "sag": "a sag", "capacity": "bottom-out energy", "": "not decided"}


@dataclass(frozen=True, slots=True)
class IntakeQuestion:
    """One value that is asked: its path, the unit it is usually typed in, the words that may stand instead, a hint."""

    path: str
    unit: str = ""
    unknown: str = ""
    hint: str = ""


OWN: Final = {
    "negative_gauge": IntakeQuestion(
        "as_found.charge.negative_pressure", hint="Gauge, at the negative chamber's own valve."
    ),
    "second_gauge": IntakeQuestion(
        "as_found.charge.second_pressure", hint="Gauge, at the second positive chamber's own valve."
    ),
}
"""At the valves of chambers of their own."""


def as_found(sheet: Sheet | None) -> tuple[IntakeQuestion, ...]:
    """What is read on a unit of a family, as found; without one, what most families have."""
    travel = IntakeQuestion("as_found.travel", unknown=NOT_MEASURED, hint="Air out: pulled out less bottomed.")
    spring = sheet.spring if sheet is not None else None
    return (travel, *_setting(sheet), *(_air(sheet) if spring is None or spring.holds_air else _coil(spring.coils)))


def _setting(sheet: Sheet | None) -> Iterator[IntakeQuestion]:
    """What sets the travel."""
    if sheet is None:
        return
    match sheet.mechanism:
        case SpacerStack():
            yield IntakeQuestion("as_found.travel_spacers", unknown=UNTIL_OPEN, hint="Under the piston.")
            if sheet.air.transfer_port.positions > 1:
                yield IntakeQuestion("as_found.port_position", unknown=UNTIL_OPEN, hint="0 for no travel spacer.")
        case ShaftPerTravel(shafts=shafts) if len(shafts) > 1:
            yield IntakeQuestion("as_found.air_shaft", unknown=UNTIL_OPEN, hint="By the travel it gives.")
        case TopOutSpacers():
            yield IntakeQuestion("as_found.top_out_spacers", unknown=UNTIL_OPEN, hint="Under the top-out.")


def _coil(coils: tuple[CoilOnOffer, ...]) -> Iterator[IntakeQuestion]:
    names = ", ".join(coil.name for coil in coils)
    yield IntakeQuestion("as_found.coil", unknown=UNTIL_OPEN, hint=f"By its name: {names}.")
    yield IntakeQuestion("as_found.preload_spacers", unknown=UNTIL_OPEN, hint="On top of the coil.")
    yield IntakeQuestion("as_found.preload_turns", unknown=NOT_MEASURED, hint="Of the adjuster, from fully out.")


def _air(sheet: Sheet | None) -> Iterator[IntakeQuestion]:
    """The air spring's chambers and valves."""
    yield IntakeQuestion("as_found.volume_spacers", unknown=UNTIL_OPEN, hint="In the positive chamber.")
    yield IntakeQuestion(
        "as_found.charge.pressure", unknown=NOT_MEASURED, hint="Gauge, topped out, before anything else."
    )
    for valve in () if sheet is None else sheet.spring.own_valves:
        yield OWN[valve.field]
    yield IntakeQuestion(
        "as_found.charge.last_set", "days", hint="How long ago; off a leaked pressure nothing can be told."
    )
    yield IntakeQuestion(
        "as_found.charge.temperature", hint="Of the unit when it was read; left empty: the workshop's."
    )


RIDER: Final = (
    IntakeQuestion("rider.mass", hint="Body. Left empty: no rider, nothing is predicted from a load."),
    IntakeQuestion("rider.gear", hint="Worn and carried."),
    IntakeQuestion("rider.height", hint="With a bike's geometry the load follows from the posture."),
    IntakeQuestion("front_scale", hint="Rider on, both wheels as high."),
    IntakeQuestion("load", hint="Along the fork at rest, if somebody measured it."),
)
OUTLINE: Final = (
    IntakeQuestion("bike.head_angle", hint="From the horizontal behind."),
    IntakeQuestion("bike.wheelbase"),
    IntakeQuestion("bike.offset"),
    IntakeQuestion("bike.front_radius", hint="Axle to ground."),
)
WISH: Final = (
    IntakeQuestion("wish.travel", hint="Left empty: it stays."),
    IntakeQuestion("wish.aim.sag", "%", hint="Standing; of travel, or in mm."),
    IntakeQuestion("wish.aim.capacity", "J"),
    IntakeQuestion("wish.volume_spacers", hint="Pinned; left empty: chosen later."),
    IntakeQuestion("wish.pressure", hint="To leave with. Service without another travel needs it."),
)
WORKSHOP: Final = (
    IntakeQuestion("workshop.temperature"),
    IntakeQuestion("workshop.air_pressure", hint="Absolute, not reduced to sea level."),
)
WORDED: Final = ("as_found.charge.leaked", "as_found.charge.cycled", "rider.posture", "wish.aim")
"""Values that are chosen, not typed."""


def intake_questions(sheet: Sheet | None) -> tuple[IntakeQuestion, ...]:
    """Every value that is typed."""
    return (*as_found(sheet), *RIDER, *OUTLINE, *WISH, *WORKSHOP)


def criteria(sheet: Sheet) -> tuple[tuple[Criterion, ...], tuple[Criterion, ...]]:
    """What is inspected: what can be seen on a closed unit, and what only shows inside."""
    open_to_see = [item for item in sheet.items if item.role is Role.LOWERS or item.covered_by == ("readings",)]
    outside = [one for item in open_to_see for one in item.inspect]
    every = [one for item in sheet.items for one in item.inspect]
    outside += [one for one in every if one.verdict is Verdict.DO_NOT_RIDE and one not in outside]
    return tuple(outside), tuple(one for one in every if one not in outside)


class Filler:
    """Fields with what was typed into them and what is wrong with it.

    Attributes
    ----------
    boxes : dict of str to Box
        Those made so far, by name, in their order.
    """

    def __init__(self, typed: Form, choice: UnitChoice, wrongs: Mapping[str, str]) -> None:
        self.typed, self.choice, self.wrongs = typed, choice, wrongs
        self.boxes: dict[str, Box] = {}

    def box(self, box: Box) -> Box:
        """A field, filled."""
        wrong = self.wrongs.get(box.name, "")
        first = bool(wrong) and not any(one.first for one in self.boxes.values())
        value = self.typed.raw(box.name)
        filled = replace(
            box,
            value=value,
            wrong=wrong,
            first=first,
            picks=tuple(replace(pick, chosen=pick.value == (value or _usual(box))) for pick in box.picks),
            not_answered=self.typed.has(box.name + NOT_ANSWERED),
        )
        self.boxes[box.name] = filled
        return filled

    def ask(self, ask: IntakeQuestion) -> Box:
        """A value's field, with its unit beside it."""
        unit = ask.unit or self._unit(ask.path)
        label = f"{LABELS[ask.path]}, {unit}" if unit else LABELS[ask.path]
        return self.box(Box(ask.path, label, hint=ask.hint, unknown=ask.unknown))

    def _unit(self, path: str) -> str:
        quantity = quantity_of_fact(path)
        return self.choice.unit(quantity) if quantity else ""

    def asks(self, asks: tuple[IntakeQuestion, ...]) -> tuple[Box, ...]:
        """Several of them."""
        return tuple(self.ask(ask) for ask in asks)

    def worded(self, name: str, label: str, options: Mapping[str, str], hint: str = "") -> Box:
        """A value that is chosen."""
        return self.box(Box(name, label, "picks", hint=hint, picks=pick_buttons(options, "")))


def _usual(box: Box) -> str:
    """What is chosen before anybody chooses: nothing, where that is one of the choices."""
    return "" if any(pick.value == "" for pick in box.picks) else "\0"


YES_NO: Final = {"yes": "yes", "no": "no", "": "not said"}
POSTURES: Final = {posture.value: posture.value for posture in Posture}


def families(sheets: Mapping[str, Sheet], choice: UnitChoice) -> tuple[Pick, ...]:
    """Every sheet with each of its chassis: "specimen/t35 mid"."""
    return (
        Pick("", "choose its sheet and chassis"),
        *(
            Pick(f"{key} {chassis.name}", f"{sheet.maker} {sheet.model}, {chassis_text(chassis, choice)}")
            for key, sheet in sheets.items()
            for chassis in sheet.chassis
        ),
    )
