"""Rules that the unit must meet when the last step is done."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import ChargeStage, Role
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.value import Unknown, Value
from sagwright.judge.rule import Case, EndRule, listing, naming
from sagwright.judge.state import AS_FOUND, UnitState, goes_on_by_step, same_setting, settings_in


def complete(case: Case, state: UnitState) -> str:
    """Something that came off is not on again."""
    left = (i for i in case.sheet.items if i.key in state.off and goes_on_by_step(i))
    return naming("still off", (i for i in left if i.role is not Role.READINGS))


def target(case: Case, state: UnitState) -> str:
    """A setting is not the target's."""
    now, wanted = dict(state.settings), dict(settings_in(case.sheet, case.target))
    wrong = (field for field in now | wanted if not same_setting(now.get(field), wanted.get(field)))
    return listing("not as the target says", wrong)


def final_charge(case: Case, state: UnitState) -> str:
    """The air in the unit is not the target's; there is none to ask for where it has a coil."""
    if not case.sheet.spring.holds_air:
        return ""
    fault = _own_charges(case, state)
    if fault or state.air == AS_FOUND:
        return fault or _main_as_found(case)
    right = state.air.stage is ChargeStage.FINAL and same_setting(state.air.pressure_gauge, case.target_pressure_gauge)
    return "" if right else "the last charge is not the final one at the target's pressure"


def _main_as_found(case: Case) -> str:
    return "" if _same_charge(case.as_found, case.target) else "the charge as found is not the target's"


def _own_charges(case: Case, state: UnitState) -> str:
    """Charges behind a valve of their own that are not the target's."""
    held = dict(state.own_gauges)
    wrong = []
    for role, field in _OWN_FIELDS.items():
        for item in case.sheet.having(role):
            was, wanted = (_own_gauge(setup, field) for setup in (case.as_found, case.target))
            if wanted is None and item.key in held:
                continue
            if not same_setting(held.get(item.key, was), wanted):
                wrong.append(item)
    return naming("not at the target's pressure", wrong)


_OWN_FIELDS: Final = {Role.SECOND_CHARGE: "second_gauge", Role.NEGATIVE_CHARGE: "negative_gauge"}


def _own_gauge(setup: Setup, field: str) -> float | None:
    """What was read or is wanted there, gauge [Pa]; None where neither is known."""
    said: Value | None = getattr(setup.charge, field, None)
    return None if said is None else said.si


def unchanged_unit(case: Case, state: UnitState) -> bool:
    """Whether the air was never touched, and need not be."""
    return state.air == AS_FOUND and _same_charge(case.as_found, case.target)


def _same_charge(one: Setup, other: Setup) -> bool:
    return all(same_setting(a, b) for a, b in zip(_gas(one.charge), _gas(other.charge), strict=True))


def _gas(charge: Charge | Unknown) -> tuple[float | bool | Unknown, ...]:
    if isinstance(charge, Unknown):
        return (charge,) * 5
    state = (charge.compression, charge.temperature, charge.ambient_abs, charge.cycled)
    return charge.pressure_gauge.si, *state


def final_readings(case: Case, state: UnitState) -> str:
    """The readings as left are missing."""
    return naming("not read again", (i for i in case.sheet.having(Role.READINGS) if i.key in state.off))


ENDING_RULES: Final = (
    EndRule(
        "complete",
        "Everything that came off is on again at the end, because what stays on the bench is missing on the trail.",
        complete,
    ),
    EndRule(
        "target",
        "At the end every setting is the target's, because travel spacers and transfer port that do not match "
        "leave a fork that hardly moves or rests deep in its travel.",
        target,
    ),
    EndRule(
        "final-charge",
        "The last pressure set is the riding pressure of the target, because a unit ridden empty, soft or over-hard "
        "can throw its rider.",
        final_charge,
    ),
    EndRule(
        "final-readings",
        "The unit leaves only after its readings are taken again, because a mistake inside shows there "
        "before it shows under a rider.",
        final_readings,
    ),
)
