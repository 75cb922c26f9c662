"""What is known of a job → the text of an intake, format intake/1, and the intake it says."""

from __future__ import annotations

from typing import Any, Final

from sagwright.domain.intake import Intake
from sagwright.domain.records.entities import SheetRevision
from sagwright.domain.records.job import JobState
from sagwright.formats.intake import load_intake_text
from sagwright.formats.intake_shape import INTAKE
from sagwright.formats.json_text import dumped
from sagwright.formats.sheet_text import sheet_of

BIKE: Final = "the job's bike"
"""What stands in the intake for the text of its bike."""


def intake_text(state: JobState, *, number: int, sheet: str, bike: bool) -> str:
    """The intake of a job as text: the facts as typed, with the makers' answers and the tasks.

    Parameters
    ----------
    state : JobState
    number : int
        The job's short number; the intake's name.
    sheet : str
        The key of its sheet.
    bike : bool
        Whether the text of a bike goes with it.
    """
    tree: dict[str, Any] = {"shape": INTAKE, "name": str(number), "sheet": sheet}
    for path, text in state.facts:
        _put(tree, path.split("."), text)
    if bike:
        tree["bike"] = BIKE
    if state.answers:
        tree["answers"] = [
            {"about": one.about, "who": one.who, "when": one.when, "answer": one.answer} for one in state.answers
        ]
    if state.tasks:
        tree["tasks"] = list(state.tasks)
    return dumped(tree)


def read_intake(text: str, revision: SheetRevision, bike: str) -> Intake:
    """The intake that a text says, with its sheet as it was and its bike.

    Raises
    ------
    InputError, InputErrors
        Everything that is missing in it or wrong with it, each with its path as `field`.
    """
    return load_intake_text(text, "the job", texts={BIKE: bike} if bike else {}, sheet=sheet_of(revision))


def _put(tree: dict[str, Any], path: list[str], text: str) -> None:
    for part in path[:-1]:
        tree = tree.setdefault(part, {})
    tree[path[-1]] = text
