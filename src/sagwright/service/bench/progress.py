"""What was done, found and agreed at the stand, as planning reads it: a fold over a job's lines with corrections."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import Act
from sagwright.domain.plan import Plan
from sagwright.domain.records.evidence import FOUND, NO, YES
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Payload, ProblemFound, PutOnHold, Resumed, StepDone
from sagwright.domain.settings import SETTINGS
from sagwright.domain.setup import Setup
from sagwright.domain.task import Progress, Task
from sagwright.domain.value import Unknown
from sagwright.formats.fields.tasks import read_task

INSIDE: Final = tuple(row.key for row in SETTINGS if row.inside)
"""Settings inside, by the name that setups, intakes and what was found give them."""


def extras_of(state: JobState) -> tuple[Task, ...]:
    """Extras found at the stand that the customer said yes to, in the order of the answers, corrections applied."""
    agreed: tuple[Task, ...] = ()
    for _, agreed in _with_extras(state):  # noqa: B007  # the last
        pass
    return agreed


def _with_extras(state: JobState) -> Iterator[tuple[Payload | None, tuple[Task, ...]]]:
    """What each line says by now, with the extras agreed on so far."""
    asked: tuple[str, ...] = ()
    agreed: tuple[Task, ...] = ()
    for line in state.lines:
        if isinstance(line.payload, PutOnHold):
            asked = line.payload.tasks
        elif isinstance(line.payload, Resumed):
            extras = map(read_task, asked if line.payload.yes else ())
            agreed, asked = tuple(dict.fromkeys((*agreed, *extras))), ()
        yield line.payload, agreed


@dataclass(frozen=True, slots=True)
class RecordedProgress:
    """All that was done and found, as far as it changed the plan, and the steps done since."""

    all: Progress
    planned: Progress
    since: tuple[str, ...]


def recorded_progress(state: JobState, plan: Plan) -> RecordedProgress:
    """What was done and found, as planning reads it, corrections applied."""
    done: list[str] = []
    found: dict[str, float | str] = _as_found(plan.work.as_found)
    failed: list[str] = []
    expected, kept, changed = dict(found), Progress(), Progress()
    for said, extras in _with_extras(state):
        before = dict(found)
        if isinstance(said, StepDone):
            done.append(said.step)
            found |= findings_inside(said, plan)
        elif isinstance(said, ProblemFound):
            found |= dict(said.found)
            failed += said.failed
        told = tuple((key, value) for key, value in found.items() if expected.get(key) != value)
        kept = Progress(tuple(done), told, tuple(dict.fromkeys(failed)), tasks=extras)
        rested_here = isinstance(said, StepDone) and said.step.split(":")[0] == Act.BREAK
        if rested_here or found != before or (kept.failed, kept.tasks) != (changed.failed, changed.tasks):
            changed = kept
    return RecordedProgress(kept, changed, kept.done[len(changed.done) :])


def _as_found(setup: Setup) -> dict[str, float | str]:
    """Settings that are known of the unit as found."""
    known = {row.key: row.of(setup) for row in SETTINGS if row.inside and row.has(setup)}
    return {
        name: value if isinstance(value, str) else float(value)
        for name, value in known.items()
        if isinstance(value, int | float | str) and not isinstance(value, Unknown)
    }


def findings_inside(said: StepDone, plan: Plan) -> dict[str, float | str]:
    """Settings that a step's readings say, by field; the pressure only where none was known and a target follows it."""
    values = {one.key: one.value for one in said.readings if one.value is not None}
    found: dict[str, float | str] = {
        key.removeprefix(FOUND): value for key, value in values.items() if key.startswith(FOUND)
    }
    found |= {
        one.key.removeprefix(FOUND): one.as_typed
        for one in said.readings
        if one.key.startswith(FOUND) and one.quantity is None and one.as_typed not in (YES, NO)
    }
    follows = plan.selection is not None and isinstance(plan.work.as_found.charge, Unknown)
    first = not said.step[-1:].isdigit()
    if first and follows and "pressure_found" in values:
        found["pressure"] = values["pressure_found"]
    return found
