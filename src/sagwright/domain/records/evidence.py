"""Evidence: what somebody read or saw, held against what a step asks for. Within limits is defined here alone."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Criterion, Record
from sagwright.domain.records.payloads import ProblemFound, Reading
from sagwright.domain.step import Step
from sagwright.errors import MissingValue, OutOfRange

YES: Final = "yes"
NO: Final = "no"
GOOD: Final = "good"
BAD: Final = "not good"
"""Answers to a sighting, and to something inspected."""

FOUND: Final = "found_"
"""What the name of a reading begins with that says how it was set inside. Such a reading is a fact, whatever it is."""

CLOSE: Final = 1e-9
"""By how much of itself a reading may pass a limit: what converting units leaves over."""


def within_step_limits(record: Record, value: float) -> bool:
    """Whether a reading [SI] keeps a record's limits; one without limits keeps them always."""
    slack = CLOSE * max(1.0, abs(value))
    return (record.low is None or value >= record.low - slack) and (record.high is None or value <= record.high + slack)


def confirmed(record: Record, said: str) -> bool:
    """Whether the answer to a sighting says that it is so; where words are asked for, any words do."""
    text = said.strip().lower()
    in_words = record.in_words or record.key.startswith(FOUND)
    return bool(text) if in_words else text == YES or text.startswith(f"{YES}:")


def passes(record: Record, said: str, value: float | None) -> bool | None:
    """Whether a reading passes; None where there is nothing to hold it against."""
    if record.quantity is None:
        return confirmed(record, said) if said.strip() else None
    if value is None or (record.low is None and record.high is None):
        return None
    return within_step_limits(record, value)


def reading_of(record: Record, said: str, value: float | None) -> Reading:
    """A reading of what a step asks for, held against its limits."""
    return Reading(record.key, record.what, said, record.quantity, value, within_limits=passes(record, said, value))


def inspected(criterion: Criterion, answer: str) -> Reading:
    """What was said of something inspected.

    Raises
    ------
    OutOfRange
        If it is neither good nor not good.
    """
    if answer not in (GOOD, BAD):
        remedy = f'Write "{GOOD}" or "{BAD}".'
        raise OutOfRange("must be good or not good", field=criterion.key, value=answer, remedy=remedy)
    return Reading(criterion.key, criterion.what, answer, within_limits=answer == GOOD)


def failure_of(step: Step, readings: tuple[Reading, ...], photos: tuple[str, ...]) -> ProblemFound | None:
    """The finding that an inspection comes to where something is not good; None where all of it is."""
    failed = {one.key for one in readings if one.as_typed == BAD}
    criteria = [one for one in step.inspect if one.key in failed]
    if not criteria:
        return None
    return ProblemFound(
        " ".join(one.what for one in criteria), step.key, tuple(one.key for one in criteria), (), photos
    )


def planned_value(record: Record) -> float | None:
    """What a reading would be if all is as planned [SI]: the middle of its limits; None where the plan does not say."""
    if record.quantity is None or record.low is None or record.high is None:
        return None
    return 0.5 * (record.low + record.high)


def evidence_fault(record: Record, reading: Reading | None, *, needed: bool) -> MissingValue | OutOfRange | None:
    """What is wrong with the evidence for one record; None if it passes. `needed` at a hold point."""
    if reading is None or not reading.as_typed.strip():
        return MissingValue("must be read", field=record.key, remedy="Read it and write it down.") if needed else None
    if record.quantity is None:
        return None if not needed or confirmed(record, reading.as_typed) else _denied(record, reading.as_typed)
    if reading.value is None:
        return MissingValue("must be a number", field=record.key, remedy="Read it and write it down.")
    if record.key.startswith(FOUND) or within_step_limits(record, reading.value):
        return None
    remedy = "Read it again. If it stays, say so under: something is wrong."
    return OutOfRange("is outside its limits", field=record.key, value=reading.as_typed, remedy=remedy)


def _denied(record: Record, said: str) -> OutOfRange:
    if said.strip().lower() == NO:
        return OutOfRange("does not pass", field=record.key, value=NO, remedy="Say so under: something is wrong.")
    remedy = "Choose yes or no; words stand beside it. If it is not so, say so under: something is wrong."
    return OutOfRange("must be answered by a yes", field=record.key, value=said, remedy=remedy)
