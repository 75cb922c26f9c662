"""A sequence for several tasks as JSON, shape "steps/1", and the order of an earlier one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from sagwright.domain.task import Sequenced, Task, TaskKind
from sagwright.errors import UnreadableFile
from sagwright.formats.json_text import dumped
from sagwright.formats.plan_json import (
    change_shape,
    kit_line_shape,
    needed_step_shape,
    sequence_shape,
    stop_shape,
    task_shape,
)

SHAPE: Final = "steps/1"
LARGEST: Final = 4_000_000  # bytes; a plan of hundreds of steps is a tenth of it


def steps_to_json(work: Sequenced) -> str:
    """The sequence as JSON text with a newline at its end."""
    needed_by = dict(work.needed_by)
    return dumped(
        {
            "shape": SHAPE,
            "program": work.program,
            "sheet": {"name": work.sheet.name, "revision": work.sheet.revision},
            "chassis": work.chassis,
            "tasks": [task_shape(task) for task in work.tasks],
            "changes": [change_shape(change) for change in work.changes],
            "kit": [kit_line_shape(line) for line in work.kit],
            "steps": [needed_step_shape(step, needed_by[step.key]) for step in work.steps],
            "done": [step.key for step in work.done],
            "stops": [stop_shape(stop) for stop in work.stops],
            "sequence": None if work.sequence is None else sequence_shape(work.sequence),
        }
    )


def earlier_order(path: str) -> tuple[str, ...]:
    """The keys of the steps in a file of shape "steps/1" or "plan/1", in their order.

    Raises
    ------
    UnreadableFile
        If it cannot be read as one.
    """
    try:
        if Path(path).stat().st_size > LARGEST:
            raise UnreadableFile("must be smaller than 4 MB", file=path)
        read = json.loads(Path(path).read_text("utf-8"))
        return tuple(str(step["key"]) for step in read["steps"])
    except FileNotFoundError as error:
        raise UnreadableFile("must be there", file=path, remedy="Check the path; nothing has that name.") from error
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        remedy = "Give a file that `sagwright steps --json` or `sagwright plan --json` wrote."
        raise UnreadableFile("must hold the steps of an earlier order", file=path, remedy=remedy) from error


def asked_in(text: str) -> tuple[str, tuple[Task, ...]]:
    """The chassis and the tasks that a text of shape "steps/1" says, as `steps_to_json` wrote it."""
    kept = json.loads(text)
    tasks = tuple(
        Task(TaskKind(one["kind"]), None if one["value"] is None else one["value"]["value"], one["item"])
        for one in kept["tasks"]
    )
    return kept["chassis"], tasks
