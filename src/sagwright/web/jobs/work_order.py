"""What was decided on a job, in words and in this browser's units: its tools and parts, its steps, and how long they
take."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from sagwright.domain.item import Record
from sagwright.domain.records.job import JobState
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step, Supply
from sagwright.domain.value import Quantity
from sagwright.formats.records.decision import StoredPlan, read_plan
from sagwright.phrases import quantities
from sagwright.phrases.entries import EntryWording
from sagwright.phrases.steps import StepText, step_text, title, waiting_time, whole_minutes
from sagwright.phrases.tools_and_parts import supply_text, task_text, tools_and_parts_by_kind
from sagwright.service.jobs.decision import decision_of, decisions_of
from sagwright.service.sheets import revision_named
from sagwright.service.workshop.records import Workshop
from sagwright.units import UnitChoice
from sagwright.web.http.form import Pick

SPREAD: Final = 0.4
"""Of all expected times together, from one technician to another: common practice, no source."""
_HOUR: Final = 3600.0


@dataclass(frozen=True, slots=True)
class DecidedWorkView:
    """The work, and the sheet it was decided on, with its revision in words."""

    work: StoredPlan
    sheet: Sheet
    revision: str


@dataclass(frozen=True, slots=True)
class Times:
    """How long the steps take, in words.

    Attributes
    ----------
    expected : str
    independent : str
        The spread if every step varies by itself: the root of the summed squares.
    low, high : str
        The ends of the spread from one technician to another.
    hours : str
        The same in hours, for an estimate.
    waiting : str
        Time in which nobody works; empty for none.
    """

    expected: str
    independent: str
    low: str
    high: str
    hours: str
    waiting: str


@dataclass(frozen=True, slots=True)
class SupplyGroup:
    """Lines of one kind."""

    name: str
    items: tuple[Pick, ...]


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step in a line: its number; the step and its text; the tasks it is for, where it is not for all of them."""

    number: int
    step: Step
    text: StepText
    pressure: str
    needed_by: tuple[str, ...]

    def line_of(self, label: str) -> str:
        """What the lines of a label say: "tool", "torque", "fluid"."""
        return ", ".join(line.text for line in self.text.lines if line.label.removesuffix("s") == label)


def decided_of(workshop: Workshop, job: str) -> DecidedWorkView:
    """What was decided last, word for word.

    Raises
    ------
    NotThere
        If nothing was.
    """
    decision = decision_of(workshop, job)
    revision, sheet = revision_named(workshop, decision.decided.sheet)
    words = f"{revision.key} revision {revision.revision}"
    return DecidedWorkView(read_plan(decision.work.text), sheet, words)


def telling_of(workshop: Workshop, state: JobState, choice: UnitChoice) -> EntryWording:
    """How a job's entries are told: its steps by the titles they had when they were decided."""
    titles: dict[str, str] = {}
    for decided, text in decisions_of(workshop, state):
        sheet = revision_named(workshop, decided.sheet)[1]
        titles |= {step.key: title(step, sheet) for step in _steps(text)}
    return EntryWording(choice, titles)


def records_of(workshop: Workshop, state: JobState, key: str) -> dict[str, Record]:
    """What a step asks to write down, by the names of its records, as it was decided last."""
    steps = (step for _, text in reversed(decisions_of(workshop, state)) for step in _steps(text))
    return next(({one.key: one for one in step.records} for step in steps if step.key == key), {})


@lru_cache(maxsize=100)
def _steps(text: str) -> tuple[Step, ...]:
    return read_plan(text).steps


def times_of(steps: tuple[Step, ...], choice: UnitChoice) -> Times:
    """How long the steps take together."""
    total = sum(step.minutes.si for step in steps)
    independent = math.hypot(*(step.minutes.u or 0.0 for step in steps))
    low, high = (1.0 - SPREAD) * total, (1.0 + SPREAD) * total
    return Times(
        expected=_minutes(total, choice),
        independent=_minutes(independent, choice),
        low=_minutes(low, choice),
        high=_minutes(high, choice),
        hours=_hours(total, low, high, choice),
        waiting=waiting_time(steps, choice),
    )


def _minutes(seconds: float, choice: UnitChoice) -> str:
    return quantities.number_text(whole_minutes(seconds), Quantity.TIME, choice)


def _hours(total: float, low: float, high: float, choice: UnitChoice) -> str:
    """An estimate to the quarter of an hour, its ends outwards."""
    quarter = _HOUR / 4
    ends = (round(total / quarter), math.floor(low / quarter), math.ceil(high / quarter))
    middle, lower, upper = (f"{end / 4:g}".replace(".", choice.decimal) for end in ends)
    return f"{middle} h, between {lower} and {upper} h"


def supply_groups_of(work: StoredPlan, ticked: frozenset[str], choice: UnitChoice) -> tuple[SupplyGroup, ...]:
    """The tools and parts by kind, what lies ready ticked."""
    return tuple(
        SupplyGroup(name, tuple(_item(line, ticked, choice) for line in lines))
        for name, lines in tools_and_parts_by_kind(work.tools_and_parts)
    )


def _item(line: Supply, ticked: frozenset[str], choice: UnitChoice) -> Pick:
    return Pick(f"tools_and_parts.{line.key}", supply_text(line, choice), chosen=line.key in ticked)


def special_tools(work: StoredPlan) -> tuple[str, ...]:
    """Tools that an ordinary workshop may lack."""
    return tuple(f"{line.name} {line.size}".strip() for line in work.tools_and_parts if line.special)


def changes_rows(decided: DecidedWorkView, choice: UnitChoice) -> tuple[StepRow, ...]:
    """Every step in a line."""
    return tuple(_row(number, step, decided, choice) for number, step in enumerate(decided.work.steps, 1))


def _needed_by(work: StoredPlan, key: str, choice: UnitChoice) -> tuple[str, ...]:
    """The tasks that need a step, where not every task of the work does."""
    everything = {task for _, tasks in work.needed_by for task in tasks}
    tasks = dict(work.needed_by).get(key, ())
    return tuple(task_text(task, choice) for task in tasks) if set(tasks) < everything else ()


def _row(number: int, step: Step, decided: DecidedWorkView, choice: UnitChoice) -> StepRow:
    gauge = step.pressure_gauge
    return StepRow(
        number=number,
        step=step,
        text=step_text(step, decided.sheet, choice),
        pressure="" if gauge is None else quantities.number_text(gauge, Quantity.PRESSURE, choice),
        needed_by=_needed_by(decided.work, step.key, choice),
    )
