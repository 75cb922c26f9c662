"""What was decided, read back from its stored text: the tools and parts and the steps as they were, nothing computed
again."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Final

from sagwright.domain.behaviour import Option
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Wish
from sagwright.domain.item import Caution
from sagwright.domain.setup import Change
from sagwright.domain.step import Sequence, Step, Supply
from sagwright.domain.task import Task
from sagwright.errors import RecordError
from sagwright.formats.codec import Codec, Object, Row
from sagwright.formats.json_text import Json
from sagwright.formats.output.plan import PLAN_SHAPE
from sagwright.formats.output.plan import ROWS as OF_PLAN
from sagwright.formats.output.work import without_needs

PARTS: Final = ("findings", "target", "changes", "tools_and_parts", "steps", "cautions")
"""Of what was decided: what a technician works by."""
ROUNDING: Final = 1e-6
"""How far numbers can be apart, absolutely or as a share, from one machine to another."""


@dataclass(frozen=True, slots=True)
class StoredPlan:
    """Of a plan that was decided on, what is read back. Builds, options and curves are not: they are only shown.

    Attributes
    ----------
    program : str
    changes : tuple of Change
    tools_and_parts : tuple of Supply
    steps : tuple of Step
    needed_by : tuple of (str, tuple of Task)
        For each step's key what needs it: the wish, as a task that changes the travel, and the tasks beside it.
    sequence : Sequence or None
    chassis : str
    tasks : tuple of Task
        What was asked for beside the wish.
    cautions : tuple of Caution
        That hold for the whole of it.
    wish : Wish or None
        None where tasks alone are asked; then there are no findings and no target either.
    findings : tuple of Finding
    target : Option or None
        None of a plan whose wish is refused.
    """

    program: str
    changes: tuple[Change, ...]
    tools_and_parts: tuple[Supply, ...]
    steps: tuple[Step, ...]
    needed_by: tuple[tuple[str, tuple[Task, ...]], ...]
    sequence: Sequence | None
    chassis: str
    tasks: tuple[Task, ...]
    cautions: tuple[Caution, ...] = ()
    wish: Wish | None = None
    findings: tuple[Finding, ...] = ()
    target: Option | None = None


def _work(shape: Object) -> Object:
    """The keys that are read; an intake says the chassis, the wish, and the tasks beside it."""
    intake = shape.get("intake")
    asked = shape if intake is None else {"chassis": intake["unit"]["chassis"], **intake}
    named = without_needs(shape) | {key: asked[key] for key in ("chassis", "tasks", "wish") if key in asked}
    return {key: named[key] for key in StoredPlan.__slots__ if key in named}


CODEC: Final = Codec(OF_PLAN | {StoredPlan: Row(sparse="cautions wish findings target", from_json=_work)})


def read_plan(text: str) -> StoredPlan:
    """The plan that a text of shape plan/1 says.

    Raises
    ------
    RecordError
        If it is of another shape, or something in it is missing.
    """
    try:
        said = json.loads(text)
        if said["shape"] == PLAN_SHAPE:
            return CODEC.decode(StoredPlan, said)
    except (ValueError, KeyError, TypeError) as error:
        raise RecordError("What was decided cannot be read.", remedy="Restore a backup, or decide again.") from error
    raise RecordError(f'What was decided has the shape "{said["shape"]}", which this program does not read.')


def differing_parts(decided: str, computed: str) -> tuple[str, ...]:
    """Names of the parts, among `PARTS`, in which two texts of one shape differ by more than rounding.

    What the first one does not have at all is no difference: an earlier program did not write it.

    Raises
    ------
    RecordError
        If the first one cannot be read.
    """
    read_plan(decided)
    before, after = json.loads(decided), json.loads(computed)
    return tuple(part for part in PARTS if part in before and not _alike(before[part], after.get(part)))


def _alike(before: Json, after: Json) -> bool:
    if isinstance(before, dict) and isinstance(after, dict):
        return all(key in after and _alike(value, after[key]) for key, value in before.items())
    if isinstance(before, list) and isinstance(after, list):
        return len(before) == len(after) and all(map(_alike, before, after))
    if isinstance(before, float) and isinstance(after, float):
        return math.isclose(before, after, rel_tol=ROUNDING, abs_tol=ROUNDING)
    return before == after
