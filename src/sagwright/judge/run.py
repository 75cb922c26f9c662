"""The rules in the order they are checked, and the run of a sequence through them."""

from __future__ import annotations

from typing import Final

from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.errors import Defect
from sagwright.judge import cover_rules, end_rules, hazards, interlocks, step_rules
from sagwright.judge.rule import Case, EndRule, Refusal, StepMoment, StepRule
from sagwright.judge.state import UnitState, advance, start_state

EARLY_RULES: Final = frozenset({"stuck-down", "verdict", "signed", "tagged", "rechecked"})
"""What ends or interrupts the work, asked before what a single step may do."""

_LISTED: Final = (
    *cover_rules.COVER_RULES,
    *interlocks.INTERLOCK_RULES,
    *hazards.HAZARD_RULES,
    *step_rules.CONTENT_RULES,
)
STEP_RULES: Final[dict[str, StepRule]] = {
    rule.name: rule for rule in sorted(_LISTED, key=lambda rule: rule.name not in EARLY_RULES)
}
END_RULES: Final[dict[str, EndRule]] = {
    rule.name: rule for rule in (*hazards.HAZARD_END_RULES, *end_rules.ENDING_RULES)
}
RULES: Final[dict[str, StepRule | EndRule]] = {**STEP_RULES, **END_RULES}
"""Every rule by its name, in the order in which they are checked."""


def examine_sequence(sheet: Sheet, as_found: Setup, target: Setup, steps: tuple[Step, ...]) -> Refusal | None:
    """Carry a sequence out on a simulated unit, and say what is wrong with it.

    Parameters
    ----------
    sheet : Sheet
    as_found, target : Setup
        The unit before, and what it is to be after.
    steps : tuple of Step
        In the order of the bench; what they say they need is not read.

    Returns
    -------
    Refusal or None
        The first rule broken by the first step that breaks one, in the order of `RULES`; None if the sequence
        is accepted. No steps at all are accepted where as found is the target already.
    """
    return first_refusal(Case(sheet, as_found, target), steps)


def require(sheet: Sheet, as_found: Setup, target: Setup, steps: tuple[Step, ...]) -> None:
    """Let a sequence of our own pass, or stop.

    Raises
    ------
    Defect
        If the judge refuses it; the message names rule, step and reason.
    """
    refusal = examine_sequence(sheet, as_found, target, steps)
    if refusal is not None:
        place = f"at {refusal.step}" if refusal.step else "at its end"
        broken = f"the sequence breaks the rule {refusal.rule} {place}: {refusal.reason}"
        told = f"{broken}. {RULES[refusal.rule].reason}"
        raise Defect(told, rule=refusal.rule, step=refusal.step, reason=refusal.reason)


def first_refusal(case: Case, steps: tuple[Step, ...], *, left_out: frozenset[str] = frozenset()) -> Refusal | None:
    """The first rule broken, other than those whose names are left out."""
    state = start_state(case.sheet, case.as_found)
    for step in steps:
        refusal = _refusal_of(case, state, step, left_out=left_out)
        if refusal is not None:
            return refusal
        state = advance(case.sheet, state, step)
    if state.past.ended:
        return None
    asked = (rule for name, rule in END_RULES.items() if name not in left_out)
    return next((refusal for rule in asked if (refusal := rule.refusal(case, state))), None)


def _refusal_of(case: Case, state: UnitState, step: Step, *, left_out: frozenset[str]) -> Refusal | None:
    item = next((item for item in case.sheet.items if item.key == step.item), None)
    if item is None:
        return Refusal("absent", step.key, f"the sheet has no item {step.item}")
    moment = StepMoment(case, state, step, item)
    asked = (rule for name, rule in STEP_RULES.items() if name not in left_out)
    return next((refusal for rule in asked if (refusal := rule.refusal(moment))), None)
