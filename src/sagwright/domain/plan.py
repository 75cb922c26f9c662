"""Everything between an intake and the stand."""

from __future__ import annotations

from dataclasses import dataclass, field

from sagwright.domain.behaviour import Candidate, SpringView
from sagwright.domain.build import Build, Change
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.item import (
    Caution,
)
from sagwright.domain.stance import StanceView
from sagwright.domain.step import KitLine, Sequence, Step, Stop
from sagwright.domain.task import Task


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything between an intake and the stand.

    Of a plan that was gone on with, `done` holds what was done, `stops` what ends the work, and `steps` what is left.
    `needed_by` says for each step's key what needs it: the wish, as a task that changes the travel, and the tasks.
    Where what was found made the wish impossible, `way_back` is what the unit is closed at, and `steps` close it.
    """

    program: str
    intake: Intake = field(repr=False)
    findings: tuple[Finding, ...]
    candidates: tuple[Candidate, ...]
    target: Candidate | None
    changes: tuple[Change, ...]
    kit: tuple[KitLine, ...]
    steps: tuple[Step, ...]
    spring: SpringView
    cautions: tuple[Caution, ...]
    sequence: Sequence | None = None
    stance: StanceView | None = None
    done: tuple[Step, ...] = ()
    stops: tuple[Stop, ...] = ()
    needed_by: tuple[tuple[str, tuple[Task, ...]], ...] = ()
    way_back: Build | None = None

    @property
    def refused(self) -> bool:
        """Whether what was wished is refused."""
        return any(finding.severity is Severity.REFUSE for finding in self.findings)
