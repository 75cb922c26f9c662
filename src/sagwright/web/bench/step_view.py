"""A step at the stand in words, with its fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sagwright.domain.item import Record
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import StepDone
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.steps import StepText, step_text
from sagwright.service.bench.state import BenchState
from sagwright.service.plan import REASONS
from sagwright.web.bench.step_fields import StepReadings, step_readings_of
from sagwright.web.files import saved_photos_of
from sagwright.web.http.form import Form
from sagwright.web.http.request import PageRequest

PHOTO = "photo"  # the place of the photo of a step
COUNTED, STEPS_UNDONE = "_found", "_left"  # how the readings of an adjuster end, counted and set back


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as it is shown.

    Attributes
    ----------
    step : Step
    text : StepText
    what_for : str
        Which rule makes it come now, in words; empty where none does.
    facts : tuple of LabelledLine
        What is set, torqued and filled, then tools.
    asks : bool
        Whether it asks anything at all.
    fields : StepReadings
    photos : tuple of str
        Ids of photos that came with it and are kept, though it was refused.
    submission : str
        The id that its entry would have.
    """

    step: Step
    text: StepText
    what_for: str
    facts: tuple[LabelledLine, ...]
    asks: bool
    fields: StepReadings
    photos: tuple[str, ...]
    submission: str


def as_was_found(step: Step, state: JobState) -> Step:
    """The step that sets back what was counted, with what was counted as its limits: one click more or less."""
    found = {
        one.key: one.value
        for line in state.lines
        if isinstance(line.payload, StepDone)
        for one in line.payload.readings
        if one.key.endswith(COUNTED) and one.quantity is Quantity.COUNT and one.value is not None
    }
    return replace(step, records=tuple(_counted(one, found) for one in step.records))


def _counted(record: Record, found: Mapping[str, float]) -> Record:
    value = found.get(record.key.removesuffix(STEPS_UNDONE) + COUNTED) if record.key.endswith(STEPS_UNDONE) else None
    if value is None or record.low is not None or record.high is not None:
        return record
    what = f"{record.what.removesuffix('.')} (found {value:g})"
    return replace(record, what=what, low=max(value - 1.0, 0.0), high=value + 1.0)


def shown_step(
    asked: PageRequest, work: BenchState, step: Step, form: Form | None = None, wrong: dict[str, str] | None = None
) -> StepShown:
    """A step in words, with its fields."""
    text = step_text(step, work.sheet, asked.choice)
    return StepShown(
        step=step,
        text=text,
        what_for=_reason(step),
        facts=tuple(_facts(text)),
        asks=step.hold_point or bool(step.inspect),
        fields=step_readings_of(step, asked.choice, form, wrong),
        photos=saved_photos_of(form, PHOTO) if form else (),
        submission=(form.text("submission") if form else "") or asked.shop.new_id(),
    )


def _reason(step: Step) -> str:
    """Why it is done so, or why now: the first interlock that it keeps or waits for."""
    rules = (*step.rules, *(need.rule for need in step.needs))
    return next((REASONS[rule] for rule in rules if rule in REASONS), "")


def _facts(text: StepText) -> list[LabelledLine]:
    """Numbers first: torque, fill, pressure; what is held in the hand after them."""
    facts = [line for line in text.lines if line.label not in ("do", "record", "look")]
    return sorted(facts, key=lambda fact: fact.label in ("tool", "tools"))
