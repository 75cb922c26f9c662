"""Readings as typed → what an entry says, with what the work as it stands asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from sagwright.domain.records.payloads import Reading
from sagwright.domain.step import Step
from sagwright.errors import OutOfRange
from sagwright.formats.records.readings import readings_from_text, typed_readings
from sagwright.service.bench.final_check import Typed, final_readings, to_read
from sagwright.service.bench.state import bench_state
from sagwright.store.workshop import Store


def read_typed(
    store: Store, job: str, typed: Iterable[str], *, step: str, instrument: str | None = None
) -> tuple[Reading, ...]:
    """Readings of one step, done or left, written as "pressure_left=88 psi".

    Raises
    ------
    NotThere
        If there is no such job, or nothing is decided on it.
    InputError
        If one is not asked for, or is no number with a unit of its quantity.
    """
    some = tuple(typed)
    return readings_from_text(some, step_of(store, job, step), instrument=instrument) if some else ()


def step_of(store: Store, job: str, key: str) -> Step:
    """A step of a job's work as it stands, done or left.

    Raises
    ------
    NotThere
        If there is no such job, or nothing is decided on it.
    OutOfRange
        If the work has no such step.
    """
    work = bench_state(store, job)
    for step in (*work.steps, *work.done):
        if step.key == key:
            return step
    remedy = f"Left are: {', '.join(step.key for step in work.steps[:5]) or 'none'}."
    raise OutOfRange("must be a step of the work", value=key, field="step", remedy=remedy)


def read_final_check(
    store: Store, job: str, typed: Iterable[str], words: Callable[[str], str], *, instrument: str | None = None
) -> tuple[Reading, ...]:
    """Readings of the final check, written as "pressure_after=88 psi", "back_wheel=yes"; `words` names a key.

    Raises
    ------
    NotThere, InputError
        As `read_typed`, and as `final_readings`.
    """
    work = bench_state(store, job)
    read = {key: Typed(one.as_typed, one.value) for key, one in typed_readings(typed, to_read(work)).items()}
    readings = final_readings(work, read, words)
    return tuple(one if one.quantity is None else replace(one, instrument=instrument) for one in readings)
