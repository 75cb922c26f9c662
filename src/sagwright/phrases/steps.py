"""A step of a plan in words: its title, its safety messages and labelled lines.

A sheet names its items freely, so the verb of a title follows from the role of the item, else from its kind, which is
read from the name: its last word before "of", "in" or a comma. Thus oil is drained and poured in, bolts are loosened
and tightened, and a damper comes out of its stanchion, whoever wrote the sheet.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import (
    _OWN_VALVE_ROLES,
    Act,
    Caution,
    ChargeStage,
    Criterion,
    Fluid,
    Hand,
    Record,
    Role,
    ThreadState,
    Torque,
    Verdict,
)
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Figure, Quantity, Value
from sagwright.phrases import quantities
from sagwright.phrases.changes import change_text
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.tools_and_parts import part_text, tool_text
from sagwright.units import UnitChoice

_ROLES: Final[dict[tuple[Act, Role | None], str]] = {
    (Act.OFF, Role.READINGS): "Read and record the unit as found",
    (Act.ON, Role.READINGS): "Take the final readings",
    (Act.OFF, Role.ADJUSTERS): "Count the clicks and open the {name}",
    (Act.ON, Role.ADJUSTERS): "Set the {name} back as found",
    (Act.OFF, Role.AIR_CHARGE): "Release the air and confirm that the unit is empty",
    (Act.OFF, Role.PRELOAD): "Count the turns and back off the {name}",
    (Act.ON, Role.PRELOAD): "Turn in the {name}",
    (Act.OFF, Role.SECOND_CHARGE): "Release the {name} and confirm that it is out",
    (Act.OFF, Role.NEGATIVE_CHARGE): "Release the {name} and confirm that it is out",
    (Act.OFF, Role.FOOT_FASTENER): "Loosen the {name}",
    (Act.ON, Role.FOOT_FASTENER): "Tighten the {name}",
    (Act.OFF, Role.FOOT_SEAT): "Knock the shaft loose: {name}",
    (Act.ON, Role.FOOT_SEAT): "Bring the shaft home: {name}",
    (Act.OFF, Role.LOWER_LEG_OIL): "Drain the {name}",
    (Act.ON, Role.LOWER_LEG_OIL): "Pour in the {name}",
    (Act.CHANGE, Role.TRANSFER_PORT): "Set the {name}",
    (Act.OFF, Role.AIR_SHAFT): "Take out the {name}",
    (Act.OFF, Role.SPRING_SHAFT): "Take out the {name}",
    (Act.OFF, Role.COIL): "Take out the {name}",
}

_OUT: Final = "Take out the {name}", "Fit the {name}"
_PRESSED: Final = "Pull out the {name}", "Press in the {name}"
_KINDS: Final[dict[str, tuple[str, str]]] = {
    "oil": ("Drain the {name}", "Pour in the {name}"),
    "grease": ("Wipe off the old {name}", "Put on new {name}"),
    "bolt": ("Undo the {name}", "Fit and tighten the {name}"),
    "bolts": ("Loosen the {name}", "Tighten the {name}"),
    "wheel": ("Take out the {name}", "Put in the {name}"),
    "bushing": _PRESSED,
    "bushings": _PRESSED,
    "mounting hardware": ("Press out the {name}", "Press in the {name}"),
    "crown race": ("Drive off the {name}", "Drive on the {name}"),
    "threaded seal head": ("Unscrew the {name}", "Screw in the {name}"),
    "bleeders": ("Press the {name}", "Press the {name} again"),
    "cable": ("Disconnect the {name}", "Connect the {name}"),
    "damper": _OUT,
    "cartridge": _OUT,
    "damper rod": _OUT,
    "unit": _OUT,
    "needle": _OUT,
    "core": _OUT,
    "axle": _OUT,
    "retaining ring": _OUT,
    "foam rings": _OUT,
    "wiper": _OUT,
    "wipers": _OUT,
    "seal": _OUT,
}
"""Verbs for taking off and for putting back, by the kind of thing; else it is taken off and fitted."""

_PLACED: Final[dict[str, tuple[str, str]]] = {
    "fork": ("Take the {thing} out of {place}", "Put the {thing} in {place}"),
    "grease": ("Wipe the old {thing} out of {place}", "Grease {place} anew"),
}
"""Verbs where the name says what a thing is in."""

_ACTS: Final = {
    Act.OFF: "Take off the {name}",
    Act.ON: "Fit the {name}",
    Act.CHANGE: "Change the {name}",
    Act.CHECK: "Tug-test the {name}",
    Act.INSPECT: "Inspect the {name}",
    Act.CHARGE: "Pump up",
    Act.CYCLE: "Cycle through the transfer port",
    Act.MEASURE: "Measure the {name}",
    Act.BREAK: "Make the unit safe for a break",
    Act.VERDICT: "Stop work and record the verdict",
}
_CHARGES: Final = {
    ChargeStage.ASSEMBLY: "Pump to assembly pressure",
    ChargeStage.RIDING: "Pump to riding pressure",
    ChargeStage.FINAL: "Set riding pressure",
}
_AFTER: Final = re.compile(r",| (?:of|in|on|at|with) ")
_PLACE: Final = re.compile(r"(?P<thing>.+?) in (?P<place>.+)")

_STATES: Final = {
    ThreadState.DRY: "dry",
    ThreadState.GREASED: "greased",
    ThreadState.OILED: "oiled",
    ThreadState.COMPOUND: "with threadlocker",
}
BLANK: Final = "______"  # a reading starts empty
VERDICTS: Final = {
    Verdict.RENEW: "renew it",
    Verdict.REFUSE: "stop and refuse the job",
    Verdict.SCRAP: "stop and scrap it; mark it so that nobody refits it",
    Verdict.DO_NOT_RIDE: "do not ride; record it with a photo",
}


def title(step: Step, sheet: Sheet) -> str:
    """What a step does, in a few words, with "(again)" where it was done before."""
    again = step.act is not Act.BREAK and step.key.rpartition(":")[2].isdigit()
    return f"{_first(step, sheet)} (again)" if again else _first(step, sheet)


def _first(step: Step, sheet: Sheet) -> str:
    role = sheet.item(step.item).role
    if step.stage is not None:
        return f"Pump in the {step.name}" if role in _OWN_VALVE_ROLES else _CHARGES[step.stage]
    if step.key.startswith(f"{Act.MEASURE}:again"):
        return f"Check the {step.name} again"
    place = _PLACE.fullmatch(step.name)
    kinds = _KINDS | _PLACED if place else _KINDS
    template = _ROLES.get((step.act, role)) or _by_kind(step, kinds) or _ACTS[step.act]
    return template.format(name=step.name, **(place.groupdict() if place else {}))


def _by_kind(step: Step, kinds: Mapping[str, tuple[str, str]]) -> str | None:
    """The verb of the longest kind that the thing's own words end in."""
    if step.act not in (Act.OFF, Act.ON):
        return None
    words = _AFTER.split(step.name, maxsplit=1)[0].split()
    endings = (" ".join(words[start:]) for start in range(len(words)))
    verbs = next((kinds[one] for one in endings if one in kinds), None)
    return None if verbs is None else verbs[step.act is Act.ON]


@dataclass(frozen=True, slots=True)
class StepText:
    """A step in words.

    Attributes
    ----------
    title, minutes : str
    hold_point : bool
    cautions : tuple of Caution
        Shown before everything else.
    lines : tuple of LabelledLine
        In the order in which they are needed; the first is the instruction.
    """

    title: str
    minutes: str
    hold_point: bool
    cautions: tuple[Caution, ...]
    lines: tuple[LabelledLine, ...]


def step_text(step: Step, sheet: Sheet, choice: UnitChoice) -> StepText:
    """A step in words and in the units asked for."""
    return StepText(
        title=title(step, sheet),
        minutes=quantities.number_text(step.minutes.si, Quantity.TIME, choice),
        hold_point=step.hold_point,
        cautions=step.cautions,
        lines=tuple(_lines(step, sheet, choice)),
    )


def _lines(step: Step, sheet: Sheet, choice: UnitChoice) -> Iterator[LabelledLine]:
    if step.idle > 0.0:
        yield LabelledLine(
            "first", f"wait {quantities.number_text(step.idle, Quantity.TIME, choice)} for the threadlocker to cure"
        )
    yield LabelledLine("do", step.do)
    for change in step.changes:
        yield LabelledLine("set", str(change_text(change, sheet, choice)))
    if step.pressure_gauge is not None:
        shown = quantities.number_text(step.pressure_gauge, Quantity.PRESSURE, choice)
        yield LabelledLine("pressure", shown if step.press is None else f"peak up to {shown}")
    if step.tools:
        label = "tools" if len(step.tools) > 1 else "tool"
        yield LabelledLine(label, ", ".join(tool_text(tool) for tool in step.tools))
    yield from (LabelledLine("new", part_text(part)) for part in step.renew)
    if step.torque is not None:
        yield LabelledLine("torque", torque_text(step.torque, choice))
    if step.fluid is not None:
        yield LabelledLine("fluid", fluid_text(step.fluid, choice))
    yield from (LabelledLine("look", criterion_text(criterion, choice)) for criterion in step.inspect)
    yield from (LabelledLine("record", record_text(record, choice)) for record in step.records)
    if step.waiting is not None:
        shown = quantities.number_text(step.waiting.si, Quantity.TIME, choice)
        yield LabelledLine("wait", f"{shown} before loading it")


def torque_text(torque: Torque, choice: UnitChoice) -> str:
    """A torque with the thread state it belongs to; "find the value" where it is not known."""
    if torque.value is None:
        shown = "find the value in the maker's manual"
    else:
        shown = quantities.value(torque.value, Quantity.TORQUE, choice)
    hand = "; left-hand: anticlockwise tightens" if torque.hand is Hand.LEFT else ""
    return f"{shown}; thread {_STATES[torque.state]}{hand}"


def fluid_text(fluid: Fluid, choice: UnitChoice) -> str:
    """A fluid and how much of it."""
    if fluid.amount is None:
        return f"{fluid.name}, a little"
    return f"{fluid.name}, {quantities.value(fluid.amount, Quantity.VOLUME, choice)}"


def criterion_text(criterion: Criterion, choice: UnitChoice) -> str:
    """What to look for, its limit, and what a failure leads to."""
    measured = ""
    if criterion.value is not None and criterion.quantity is not None:
        measured = f" ({quantities.value(criterion.value, criterion.quantity, choice)})"
    return f"{_open(criterion.what)}: {criterion.limit}{measured}; if not, {VERDICTS[criterion.verdict]}"


def record_text(record: Record, choice: UnitChoice) -> str:
    """What to write down, with an empty place for it and the limits it must keep."""
    what = _open(record.what)
    if record.quantity is None:
        return f"{what}: {BLANK}"
    unit = choice.unit(record.quantity)
    limits = quantities.span(record.low, record.high, record.quantity, choice)
    within = f" (limits: {limits})" if limits else ""
    return f"{what}: {BLANK}{f' {unit}' if unit else ''}{within}"


def _open(sentence: str) -> str:
    """A sentence that something follows."""
    return sentence.removesuffix(".")


def total_time(steps: Sequence[Step], choice: UnitChoice) -> str:
    """The minutes of all steps; their spread is that of independent ones, the root of the squares' sum."""
    times = [step.minutes for step in steps]
    total = sum(time.si for time in times)
    known = [time.u for time in times if time.u is not None]
    shown = quantities.figure(Figure(whole_minutes(total), Quantity.TIME, whole_minutes(math.hypot(*known))), choice)
    without = len(times) - len(known)
    missing = f"; {quantities.count_text(without, 'step')} without a spread" if without else ""
    return f"{shown} (standard uncertainty{missing})"


def whole_minutes(seconds: float) -> float:
    """A time to the nearest minute [s]."""
    return round(seconds / quantities.MINUTE) * quantities.MINUTE


def times_text(steps: Sequence[Step], choice: UnitChoice) -> str:
    """The time of all steps, and what they wait."""
    waiting = waiting_time(steps, choice)
    return total_time(steps, choice) + (f", and {waiting} of waiting" if waiting else "")


def waiting_time(steps: Sequence[Step], choice: UnitChoice) -> str:
    """The waiting of all steps together; empty if there is none."""
    waits: list[Value] = [step.waiting for step in steps if step.waiting is not None]
    return quantities.number_text(sum(wait.si for wait in waits), Quantity.TIME, choice) if waits else ""
