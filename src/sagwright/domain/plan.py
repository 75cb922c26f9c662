"""Everything between an intake and the stand."""

from __future__ import annotations

from dataclasses import dataclass, field

from sagwright.domain.behaviour import Option, SpringView
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.item import (
    Caution,
)
from sagwright.domain.setup import Change, Setup
from sagwright.domain.stance import StanceView
from sagwright.domain.step import Sequence, Step, Supply, WorkStop
from sagwright.domain.task import Task


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything between an intake and the stand.

    Of a plan that was gone on with, `done` holds what was done, `stops` what ends the work, and `steps` what is left.
    `needed_by` says for each step's key what needs it: the wish, as a task that changes the travel, and the tasks.
    Where what was found made the wish impossible, `reassembly` is what the unit is closed at, and `steps` close it.
    """

    program: str
    intake: Intake = field(repr=False)
    findings: tuple[Finding, ...]
    options: tuple[Option, ...]
    target: Option | None
    changes: tuple[Change, ...]
    tools_and_parts: tuple[Supply, ...]
    steps: tuple[Step, ...]
    spring: SpringView
    cautions: tuple[Caution, ...]
    sequence: Sequence | None = None
    stance: StanceView | None = None
    done: tuple[Step, ...] = ()
    stops: tuple[WorkStop, ...] = ()
    needed_by: tuple[tuple[str, tuple[Task, ...]], ...] = ()
    reassembly: Setup | None = None

    @property
    def refused(self) -> bool:
        """Whether what was wished is refused."""
        return any(finding.severity is Severity.NOT_ALLOWED for finding in self.findings)
