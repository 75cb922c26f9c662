"""One piece of work on one unit: from as found to its target, what changes, with what, and in which order."""

from __future__ import annotations

from dataclasses import dataclass, field

from sagwright.domain.setup import Change, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Sequence, Step, Supply, WorkStop
from sagwright.domain.task import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One piece of work on one unit. Nothing but what it is composed of is there before it is composed.

    Attributes
    ----------
    sheet : Sheet
    chassis : str
        Empty where any chassis of the sheet will do.
    tasks : tuple of Task
        What is asked; a change of travel is a task.
    as_found : Setup
        What nobody has looked at is unknown until open.
    target : Setup or None
        None where nothing may be a target; then there are no steps.
    travel_change : float or None
        How much longer the travel gets [m]; None while nobody knows it.
    changes : tuple of Change
        From as found to the target.
    tools_and_parts : tuple of Supply
        Tools and parts that the steps need.
    steps : tuple of Step
        What is left to do, in its order.
    needed_by : tuple of (str, tuple of Task)
        For each step's key the tasks that need it; a task needs what its own work would have. None where only the
        tasks together need it.
    sequence : Sequence or None
        How good the order is; None where there is nothing to do.
    done : tuple of Step
        What was done before these steps.
    stops : tuple of WorkStop
        What ends the work; then only its verdict is left to do.
    """

    sheet: Sheet = field(repr=False)
    chassis: str
    tasks: tuple[Task, ...]
    as_found: Setup
    target: Setup | None
    travel_change: float | None = None
    changes: tuple[Change, ...] = ()
    tools_and_parts: tuple[Supply, ...] = ()
    steps: tuple[Step, ...] = ()
    needed_by: tuple[tuple[str, tuple[Task, ...]], ...] = ()
    sequence: Sequence | None = None
    done: tuple[Step, ...] = ()
    stops: tuple[WorkStop, ...] = ()

    @property
    def planned(self) -> tuple[Step, ...]:
        """Every step, what is done first."""
        return (*self.done, *self.steps)
