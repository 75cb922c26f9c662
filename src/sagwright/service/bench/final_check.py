"""Readings as left held against the plan as it was gone on with, and recorded."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from sagwright.domain.diagnosis import (
    ACCEPTED,
    BACK,
    LEAK,
    NEEDED,
    NEVER_ACCEPTED,
    RIDDEN,
    TOGETHER,
    CheckResult,
    Diagnosis,
    Prediction,
)
from sagwright.domain.records.evidence import YES
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import FinalChecked, Reading
from sagwright.domain.value import Quantity
from sagwright.errors import InputErrors, MissingValue, OutOfRange
from sagwright.planning.diagnosis.predictions import (
    READ_NEXT,
    LeakTest,
    diagnosis_of,
    explain_readings,
    leak_prediction,
    predictions,
    verdict_of,
)
from sagwright.service.bench.state import BenchState

NEXT = READ_NEXT
"""The reading that tells each explanation apart."""

STANDARD_AMBIENT_ABS = 101_325.0
"""The air round a unit of whose workshop nothing is known, [iso-2533] at sea level [Pa]."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What somebody typed for a reading, and its value [SI] where it is a number."""

    as_typed: str
    value: float | None = None


def readings_due(work: BenchState) -> tuple[Prediction, ...]:
    """The readings that prove a job's work, in order; none where tasks alone were done, which predict nothing."""
    selection = work.plan.selection
    return predictions(selection) if selection is not None and selection.target is not None else ()


def to_read(work: BenchState) -> dict[str, Quantity | None]:
    """Everything the final check of a job can be told, by its key; None for what is looked at or said in words."""
    readings: dict[str, Quantity | None] = {one.key: one.quantity for one in readings_due(work)}
    looked_at = [f"{BACK}{name}" for name in TOGETHER] if work.view.state.bicycle is not None else []
    return readings | LEAK | dict.fromkeys((*looked_at, ACCEPTED))


def judge_reading(prediction: Prediction, value: float) -> tuple[CheckResult, tuple[str, ...]]:
    """A reading's verdict, and codes of what would explain one outside its band."""
    verdict = verdict_of(prediction, value)
    return verdict, explain_readings(verdict)


def diagnosis(work: BenchState, read: Mapping[str, float]) -> Diagnosis | None:
    """Which simulated mistakes would explain a job's readings, nearest first; None where nothing can be said."""
    return None if work.plan.selection is None else diagnosis_of(work.plan.selection, read)


def last_readings(state: JobState) -> dict[str, Reading]:
    """The last reading of each kind in the final checks so far."""
    return {one.key: one for proof in state.final_checks for one in proof.readings}


def final_readings(work: BenchState, typed: Mapping[str, Typed], words: Callable[[str], str]) -> tuple[Reading, ...]:
    """Everything that was read or looked at in a final check, held against the plan.

    Parameters
    ----------
    work : BenchState
    typed : mapping of str to Typed
        By the keys of `to_read`; what was not read is left out.
    words : callable
        What a key is called.

    Raises
    ------
    MissingValue
        If a leak test lacks one of its four readings.
    OutOfRange
        If something that was looked at is not as it should be.
    """
    found = [
        _held_against(judge_reading(one, value)[0], what=words(one.key), as_typed=typed[one.key].as_typed)
        for one in readings_due(work)
        if one.key in typed and (value := typed[one.key].value) is not None
    ]
    found += _leak_reading(work, typed, words)
    found += [_looked_at(f"{BACK}{name}", typed, words) for name in TOGETHER if f"{BACK}{name}" in typed]
    if ACCEPTED in typed:
        found.append(Reading(ACCEPTED, words(ACCEPTED), typed[ACCEPTED].as_typed))
    return tuple(found)


def _held_against(verdict: CheckResult, *, what: str, as_typed: str) -> Reading:
    """A reading as it is recorded, beside its prediction."""
    told = verdict.prediction
    return Reading(
        key=told.key,
        what=what,
        as_typed=as_typed,
        quantity=told.quantity,
        value=verdict.value,
        u=told.reading_u,
        predicted=told.predicted,
        within_limits=verdict.inside,
    )


def _looked_at(key: str, typed: Mapping[str, Typed], words: Callable[[str], str]) -> Reading:
    if typed[key].as_typed.strip().lower() != YES:
        remedy = "Put it right, look again, then say yes."
        raise OutOfRange("must be answered by a yes", field=key, value=typed[key].as_typed, remedy=remedy)
    return Reading(key, words(key), YES, within_limits=True)


def _leak_reading(work: BenchState, typed: Mapping[str, Typed], words: Callable[[str], str]) -> list[Reading]:
    if not any(key in typed for key in LEAK):
        return []
    values = {key: typed[key].value if key in typed else None for key in LEAK}
    start, warm, end, cold = values.values()
    if start is None or warm is None or end is None or cold is None:
        missing = next(key for key, value in values.items() if value is None)
        raise MissingValue("must be given", field=missing, remedy="A leak test needs both pressures and temperatures.")
    selection = work.plan.selection
    ambient = STANDARD_AMBIENT_ABS if selection is None else selection.intake.workshop.ambient_abs
    verdict = judge_reading(leak_prediction(LeakTest(start, end, ambient, warm, cold)), end)[0]
    return [_held_against(verdict, what=words("leak"), as_typed=typed["leak_end"].as_typed)]


def missing_keys(work: BenchState, read: Mapping[str, Reading]) -> tuple[str, ...]:
    """What is not read or looked at yet and must be before a job is proven."""
    asked = to_read(work)
    return tuple(key for key in asked if (key in NEEDED or key.startswith(BACK)) and key not in read)


def require_final_check(work: BenchState, what: FinalChecked) -> None:
    """Nothing, if the readings of a final check may be recorded, and where they are said to prove the work, if they do.

    Raises
    ------
    MissingValue
        If somebody stood on a bike that is not back together.
    InputErrors
        Everything that is missing, and every reading outside its band that nobody accepts or may accept.
    """
    read = last_readings(work.view.state) | {one.key: one for one in what.readings}
    _require_together(work, what.readings, read)
    if what.passed and (faults := tuple(_open_readings(work, read))):
        raise InputErrors(faults)


def _require_together(work: BenchState, readings: tuple[Reading, ...], read: Mapping[str, Reading]) -> None:
    """Nobody stands on a bike that is not back together."""
    missing = [one for one in missing_keys(work, read) if one.startswith(BACK)]
    stood_on = [one.key for one in readings if one.key.startswith(RIDDEN)]
    if missing and stood_on:
        rule = f"comes after the bike is back together; missing: {missing[0].removeprefix(BACK)}"
        raise MissingValue(rule, field=stood_on[0], remedy="Put it together, tick it off, then stand on it.")


def _open_readings(work: BenchState, read: Mapping[str, Reading]) -> Iterator[MissingValue]:
    for key in missing_keys(work, read):
        yield MissingValue("is missing", field=key, remedy="Read or look at it first.")
    accepted = _is_accepted(read)
    for one in readings_due(work):
        value = read[one.key].value if one.key in read else None
        if value is None or judge_reading(one, value)[0].inside:
            continue
        if one.key in NEVER_ACCEPTED:
            stop = (
                "Read again. If it stays, stop: let the air out, check that it is empty and put it right, or refuse it."
            )
            yield MissingValue("is outside its band", field=one.key, remedy=stop)
        elif not accepted:
            remedy = "Read again, put it right, or say who accepts it and why."
            yield MissingValue("is outside its band", field=one.key, remedy=remedy)


def _is_accepted(read: Mapping[str, Reading]) -> bool:
    """Whether somebody accepts what is outside, by name and with a reason."""
    accepted = read[ACCEPTED].as_typed if ACCEPTED in read else ""
    who, _, why = accepted.partition(":")
    return bool(who.strip() and why.strip())


def corrected_reading(reading: Reading, value: float) -> Reading:
    """A reading of a final check as it was really read, held again against what was predicted then."""
    if reading.predicted is None or reading.quantity is None:
        return replace(reading, value=value)
    told = Prediction(reading.key, reading.quantity, reading.predicted, reading.u or 0.0)
    return replace(reading, value=value, within_limits=judge_reading(told, value)[0].inside)
