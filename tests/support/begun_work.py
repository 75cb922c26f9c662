"""Plans of which some steps are done, to be resumed."""

from __future__ import annotations

from sagwright.domain.plan import Plan
from sagwright.domain.setup import ShaftSetting, StackSetting
from sagwright.domain.value import Unknown
from sagwright.judge import examine_sequence
from sagwright.service.plan import plan
from tests.support.intakes import charge, intake_of, shaft_sheet, stack_sheet, value
from tests.support.selections import selection_of

SAID_ONE = plan(
    intake_of(
        stack_sheet(),
        StackSetting(1, 1),
        chassis="mid",
        travel=0.13,
        volume_spacers=Unknown.UNTIL_OPEN,
        charge=charge(80.0),
    )
)


SHAFT = plan(
    intake_of(
        shaft_sheet(),
        ShaftSetting(Unknown.UNTIL_OPEN),
        chassis="standard",
        travel=0.12,
        charge=charge(85.0),
        load=value(330.0, 10.0),
    )
)


PLANS = {"stack": SAID_ONE, "shaft": SHAFT}


def up_to(work: Plan, key: str) -> tuple[str, ...]:
    """The keys of the steps before one."""
    keys = [step.key for step in work.work.steps]
    return tuple(keys[: keys.index(key)])


def accepted(work: Plan) -> None:
    built = work.reassembly if work.target is None else work.target.setup
    assert built is not None
    intake = selection_of(work).intake
    steps = (*work.work.done, *work.work.steps)
    assert examine_sequence(intake.sheet, intake.as_found.setup, built, steps) is None
