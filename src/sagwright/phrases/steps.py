"""A step of a plan as a title, its cautions and labelled lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import (
    Caution,
    Criterion,
    Fluid,
    Hand,
    Record,
    ThreadState,
    Torque,
    Verdict,
)
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Figure, Quantity, Value
from sagwright.phrases import figures
from sagwright.phrases.changes import change_text
from sagwright.phrases.kit import part_text, tool_text
from sagwright.phrases.titles import title
from sagwright.units import Choice

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


@dataclass(frozen=True, slots=True)
class Labelled:
    """One line of a step: "tool", "socket 26 mm"."""

    label: str
    text: str


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
        minutes=figures.number(step.minutes.si, Quantity.TIME, choice),
        gate=step.gate,
        cautions=step.cautions,
        lines=tuple(_lines(step, sheet, choice)),
    )


def _lines(step: Step, sheet: Sheet, choice: Choice) -> Iterator[Labelled]:
    if step.idle > 0.0:
        yield Labelled(
            "first", f"wait {figures.number(step.idle, Quantity.TIME, choice)} until what it loads has cured"
        )
    yield Labelled("do", step.do)
    for change in step.changes:
        yield Labelled("set", str(change_text(change, sheet, choice)))
    if step.pressure_gauge is not None:
        shown = figures.number(step.pressure_gauge, Quantity.PRESSURE, choice)
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
        shown = figures.number(step.waiting.si, Quantity.TIME, choice)
        yield Labelled("wait", f"{shown} before anything that depends on it")


def torque_text(torque: Torque, choice: Choice) -> str:
    """A torque with the thread state it belongs to; "find the value" where nobody knows it."""
    if torque.value is None:
        shown = "find the value in the maker's manual"
    else:
        shown = figures.value(torque.value, Quantity.TORQUE, choice)
    hand = "; left-hand: anticlockwise tightens" if torque.hand is Hand.LEFT else ""
    return f"{shown}; thread {_STATES[torque.state]}{hand}"


def fluid_text(fluid: Fluid, choice: Choice) -> str:
    """A fluid and how much of it."""
    if fluid.amount is None:
        return f"{fluid.name}, a little"
    return f"{fluid.name}, {figures.value(fluid.amount, Quantity.VOLUME, choice)}"


def criterion_text(criterion: Criterion, choice: Choice) -> str:
    """What to look for, its limit, and what a failure leads to."""
    measured = ""
    if criterion.value is not None and criterion.quantity is not None:
        measured = f" ({figures.value(criterion.value, criterion.quantity, choice)})"
    return f"{_open(criterion.what)}: {criterion.limit}{measured}; if not, {VERDICTS[criterion.verdict]}"


def record_text(record: Record, choice: Choice) -> str:
    """What to write down, with an empty place for it and the limits it must keep."""
    what = _open(record.what)
    if record.quantity is None:
        return f"{what}: {BLANK}"
    unit = choice.unit(record.quantity)
    limits = figures.span(record.low, record.high, record.quantity, choice)
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
    shown = figures.figure(_whole_minutes(total, math.hypot(*known)), choice)
    without = len(times) - len(known)
    missing = f"; {figures.count(without, 'step')} without a spread" if without else ""
    return f"{shown} (standard uncertainty{missing})"


def _whole_minutes(time: float, u: float) -> Figure:
    minutes, minutes_u = (round(each / figures.MINUTE) * figures.MINUTE for each in (time, u))
    return Figure(minutes, Quantity.TIME, minutes_u)


def waiting_time(steps: Sequence[Step], choice: Choice) -> str:
    """The waiting of all steps together; empty if there is none."""
    waits: list[Value] = [step.waiting for step in steps if step.waiting is not None]
    return figures.number(sum(wait.si for wait in waits), Quantity.TIME, choice) if waits else ""
