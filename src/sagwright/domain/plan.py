"""A plan: the work that is decided on, and how its target was selected where a travel is wished."""

from __future__ import annotations

from dataclasses import dataclass, field

from sagwright.domain.behaviour import Option, SpringView
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.item import Caution
from sagwright.domain.setup import Setup
from sagwright.domain.stance import StanceView
from sagwright.domain.work import Work


@dataclass(frozen=True, slots=True)
class Selection:
    """How a target was selected for an intake.

    Attributes
    ----------
    intake : Intake
    findings : tuple of Finding
    options : tuple of Option
        Every option, nearest to the aim first.
    target : Option or None
        The option that is selected; None where a finding refuses the wish, or no option may be a target.
    spring : SpringView
    stance : StanceView or None
        None where nothing is known of a bike.
    """

    intake: Intake = field(repr=False)
    findings: tuple[Finding, ...]
    options: tuple[Option, ...]
    target: Option | None
    spring: SpringView
    stance: StanceView | None = None

    @property
    def refused(self) -> bool:
        """Whether what was wished is refused."""
        return any(finding.severity is Severity.NOT_ALLOWED for finding in self.findings)


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything between an intake and the stand.

    Attributes
    ----------
    program : str
        Name and version of what computed it.
    work : Work
    cautions : tuple of Caution
        That hold for the whole work.
    selection : Selection or None
        How the target was selected; None where tasks alone say what is to be done.
    """

    program: str
    work: Work
    cautions: tuple[Caution, ...]
    selection: Selection | None = None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found about the intake; nothing where tasks alone are asked."""
        return () if self.selection is None else self.selection.findings

    @property
    def target(self) -> Option | None:
        """The option that is selected, if any is."""
        return None if self.selection is None else self.selection.target

    @property
    def refused(self) -> bool:
        """Whether what was wished is refused."""
        return self.selection is not None and self.selection.refused

    @property
    def impossible(self) -> bool:
        """Whether nothing that was wished may be a target."""
        return self.selection is not None and self.selection.target is None

    @property
    def reassembly(self) -> Setup | None:
        """What an opened unit is closed at, because what was found in it makes the wish impossible."""
        return self.work.target if self.impossible else None
