"""The rules in the order they are asked, and the run of a sequence past them."""

from __future__ import annotations

from typing import Final

from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.errors import Defect
from sagwright.judge import cover_rules, end_rules, hazards, interlocks, step_rules
from sagwright.judge.rule import Case, EndRule, Refusal, StepMoment, StepRule
from sagwright.judge.state import UnitState, advance, start_state

STEP_RULES: Final[tuple[StepRule, ...]] = (
    *hazards.HAZARD_RULES[:5],
    *cover_rules.COVER_RULES,
    *interlocks.INTERLOCK_RULES,
    *hazards.HAZARD_RULES[5:],
    *step_rules.CONTENT_RULES,
)
END_RULES: Final[tuple[EndRule, ...]] = (*hazards.HAZARD_END_RULES, *end_rules.ENDING_RULES)
RULES: Final[dict[str, str]] = {
    **{rule.name: rule.reason for rule in STEP_RULES},
    **{rule.name: rule.reason for rule in END_RULES},
}


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
        told = f"{broken}. {RULES[refusal.rule]}"
        raise Defect(told, rule=refusal.rule, step=refusal.step, reason=refusal.reason)


def first_refusal(
    case: Case,
    steps: tuple[Step, ...],
    *,
    step_rules: tuple[StepRule, ...] = STEP_RULES,
    end_rules: tuple[EndRule, ...] = END_RULES,
) -> Refusal | None:
    """The same, by a choice of rules."""
    state = start_state(case.sheet, case.as_found)
    for step in steps:
        refusal = _refusal_of(case, state, step, rules=step_rules)
        if refusal is not None:
            return refusal
        state = advance(case.sheet, state, step)
    if state.past.ended:
        return None
    return next((refusal for rule in end_rules if (refusal := rule.refusal(case, state))), None)


def _refusal_of(case: Case, state: UnitState, step: Step, *, rules: tuple[StepRule, ...]) -> Refusal | None:
    item = next((item for item in case.sheet.items if item.key == step.item), None)
    if item is None:
        return Refusal("absent", step.key, f"the sheet has no item {step.item}")
    moment = StepMoment(case, state, step, item)
    return next((refusal for rule in rules if (refusal := rule.refusal(moment))), None)
