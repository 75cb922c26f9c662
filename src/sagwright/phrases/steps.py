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
    OWN_CHARGES,
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
from sagwright.phrases.labelled import Labelled
from sagwright.phrases.tools_and_parts import part_text, tool_text
from sagwright.units import Choice

_ROLES: Final[dict[tuple[Act, Role | None], str]] = {
    (Act.OFF, Role.READINGS): "Write down the {name} as found",
    (Act.ON, Role.READINGS): "Prove the result: take the {name} again",
    (Act.OFF, Role.ADJUSTERS): "Record and open the {name}",
    (Act.ON, Role.ADJUSTERS): "Set the {name} back",
    (Act.OFF, Role.AIR_CHARGE): "Let out the {name} and prove the unit empty",
    (Act.OFF, Role.PRELOAD): "Count and back off the {name}",
    (Act.ON, Role.PRELOAD): "Turn in the {name}",
    (Act.OFF, Role.SECOND_CHARGE): "Let out the {name} and prove it out",
    (Act.OFF, Role.NEGATIVE_CHARGE): "Let out the {name} and prove it out",
    (Act.OFF, Role.FOOT_FASTENER): "Loosen the {name}",
    (Act.ON, Role.FOOT_FASTENER): "Tighten the {name}",
    (Act.OFF, Role.FOOT_SEAT): "Free the {name}",
    (Act.ON, Role.FOOT_SEAT): "Seat the {name}",
    (Act.OFF, Role.BATH_OIL): "Drain the {name}",
    (Act.ON, Role.BATH_OIL): "Pour in the {name}",
    (Act.CHANGE, Role.EQUALISER): "Set the {name}",
    (Act.OFF, Role.AIR_SHAFT): "Take out the {name}",
    (Act.OFF, Role.SPRING_SHAFT): "Take out the {name}",
    (Act.OFF, Role.COIL): "Take out the {name}",
}

_OUT: Final = "Take out the {name}", "Fit the {name}"
_PRESSED: Final = "Draw out the {name}", "Press in the {name}"
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
    "cable": ("Unhook the {name}", "Hook in the {name}"),
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
"""The same where the name says what a thing is in."""

_ACTS: Final = {
    Act.OFF: "Take off the {name}",
    Act.ON: "Fit the {name}",
    Act.CHANGE: "Change the {name}",
    Act.PROVE: "Prove that the {name} holds",
    Act.INSPECT: "Inspect the {name}",
    Act.CHARGE: "Charge",
    Act.CYCLE: "Cycle the {name} through the equaliser",
    Act.MEASURE: "Measure the {name}",
    Act.BREAK: "Leave it safe for a break",
    Act.VERDICT: "End the work: write the verdict",
}
_CHARGES: Final = {
    ChargeStage.HOLDING: "Put in the holding charge",
    ChargeStage.RIDING: "Put in the riding charge",
    ChargeStage.FINAL: "Set the final pressure",
}
_AFTER: Final = re.compile(r",| (?:of|in|on|at|with) ")
_PLACE: Final = re.compile(r"(?P<thing>.+?) in (?P<place>.+)")

_STATES: Final = {
    ThreadState.DRY: "dry",
    ThreadState.GREASED: "greased",
    ThreadState.OILED: "oiled",
    ThreadState.COMPOUND: "with thread compound",
}
BLANK: Final = "______"  # a reading starts empty
VERDICTS: Final = {
    Verdict.RENEW: "renew it",
    Verdict.REFUSE: "stop, and refuse the work",
    Verdict.SCRAP: "stop, and scrap it: mark it so that nobody fits it again",
    Verdict.DO_NOT_RIDE: "do not ride: say so in writing, with a photo",
}


def title(step: Step, sheet: Sheet) -> str:
    """What a step does, in a few words; that it is done once more where it was done before."""
    again = step.act is not Act.BREAK and step.key.rpartition(":")[2].isdigit()
    return f"{_first(step, sheet)}, once more" if again else _first(step, sheet)


def _first(step: Step, sheet: Sheet) -> str:
    role = sheet.item(step.item).role
    if step.stage is not None:
        return f"Put in the {step.name}" if role in OWN_CHARGES else _CHARGES[step.stage]
    if step.key.startswith(f"{Act.MEASURE}:again"):
        return f"Prove the {step.name} again"
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
    gate : bool
    cautions : tuple of Caution
        Shown before everything else.
    lines : tuple of Labelled
        In the order in which they are needed; the first is the instruction.
    """

    title: str
    minutes: str
    gate: bool
    cautions: tuple[Caution, ...]
    lines: tuple[Labelled, ...]


def step_text(step: Step, sheet: Sheet, choice: Choice) -> StepText:
    """A step in words and in the units asked for."""
    return StepText(
        title=title(step, sheet),
        minutes=quantities.number(step.minutes.si, Quantity.TIME, choice),
        gate=step.gate,
        cautions=step.cautions,
        lines=tuple(_lines(step, sheet, choice)),
    )


def _lines(step: Step, sheet: Sheet, choice: Choice) -> Iterator[Labelled]:
    if step.idle > 0.0:
        yield Labelled(
            "first", f"wait {quantities.number(step.idle, Quantity.TIME, choice)} until what it loads has cured"
        )
    yield Labelled("do", step.do)
    for change in step.changes:
        yield Labelled("set", str(change_text(change, sheet, choice)))
    if step.pressure_gauge is not None:
        shown = quantities.number(step.pressure_gauge, Quantity.PRESSURE, choice)
        yield Labelled("pressure", shown if step.press is None else f"expect a peak of up to {shown}")
    if step.tools:
        label = "tools" if len(step.tools) > 1 else "tool"
        yield Labelled(label, ", ".join(tool_text(tool) for tool in step.tools))
    yield from (Labelled("new", part_text(part)) for part in step.renew)
    if step.torque is not None:
        yield Labelled("torque", torque_text(step.torque, choice))
    if step.fluid is not None:
        yield Labelled("fluid", fluid_text(step.fluid, choice))
    yield from (Labelled("look", criterion_text(criterion, choice)) for criterion in step.inspect)
    yield from (Labelled("record", record_text(record, choice)) for record in step.records)
    if step.waiting is not None:
        shown = quantities.number(step.waiting.si, Quantity.TIME, choice)
        yield Labelled("wait", f"{shown} before anything that depends on it")


def torque_text(torque: Torque, choice: Choice) -> str:
    """A torque with the thread state it belongs to; "find the value" where nobody knows it."""
    if torque.value is None:
        shown = "find the value in the maker's manual"
    else:
        shown = quantities.value(torque.value, Quantity.TORQUE, choice)
    hand = "; left-hand: anticlockwise tightens" if torque.hand is Hand.LEFT else ""
    return f"{shown}; thread {_STATES[torque.state]}{hand}"


def fluid_text(fluid: Fluid, choice: Choice) -> str:
    """A fluid and how much of it."""
    if fluid.amount is None:
        return f"{fluid.name}, a little"
    return f"{fluid.name}, {quantities.value(fluid.amount, Quantity.VOLUME, choice)}"


def criterion_text(criterion: Criterion, choice: Choice) -> str:
    """What to look for, its limit, and what a failure leads to."""
    measured = ""
    if criterion.value is not None and criterion.quantity is not None:
        measured = f" ({quantities.value(criterion.value, criterion.quantity, choice)})"
    return f"{_open(criterion.what)}: {criterion.limit}{measured}; if not, {VERDICTS[criterion.verdict]}"


def record_text(record: Record, choice: Choice) -> str:
    """What to write down, with an empty place for it and the limits it must keep."""
    what = _open(record.what)
    if record.quantity is None:
        return f"{what}: {BLANK}"
    unit = choice.unit(record.quantity)
    limits = quantities.span(record.low, record.high, record.quantity, choice)
    passes = f" (passes {limits if limits.startswith('at ') else f'at {limits}'})" if limits else ""
    return f"{what}: {BLANK}{f' {unit}' if unit else ''}{passes}"


def _open(sentence: str) -> str:
    """A sentence that something follows."""
    return sentence.removesuffix(".")


def total_time(steps: Sequence[Step], choice: Choice) -> str:
    """The minutes of all steps; their spread is that of independent ones, the root of the squares' sum."""
    times = [step.minutes for step in steps]
    total = sum(time.si for time in times)
    known = [time.u for time in times if time.u is not None]
    shown = quantities.figure(Figure(whole_minutes(total), Quantity.TIME, whole_minutes(math.hypot(*known))), choice)
    without = len(times) - len(known)
    missing = f"; {quantities.count(without, 'step')} without a spread" if without else ""
    return f"{shown} (standard uncertainty{missing})"


def whole_minutes(seconds: float) -> float:
    """A time to the nearest minute [s]."""
    return round(seconds / quantities.MINUTE) * quantities.MINUTE


def times_text(steps: Sequence[Step], choice: Choice) -> str:
    """The time of all steps, and what they wait."""
    waiting = waiting_time(steps, choice)
    return total_time(steps, choice) + (f", and {waiting} of waiting" if waiting else "")


def waiting_time(steps: Sequence[Step], choice: Choice) -> str:
    """The waiting of all steps together; empty if there is none."""
    waits: list[Value] = [step.waiting for step in steps if step.waiting is not None]
    return quantities.number(sum(wait.si for wait in waits), Quantity.TIME, choice) if waits else ""
