"""What a rule is, and what it gets to see."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from sagwright.domain.item import Act, Item, ItemWork, Role
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.judge.state import JudgedSetting, UnitState, field_of, same_setting, settings_in


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a sequence is refused.

    Attributes
    ----------
    rule : str
        Name of the rule it breaks; its reason in `RULES` says what it is for.
    step : str or None
        Key of the step that breaks it; None where the end of the sequence does.
    reason : str
        What is wrong, as a clause.
    """

    rule: str
    step: str | None
    reason: str


@dataclass(frozen=True, slots=True)
class Case:
    """What a sequence is judged by: the sheet, the unit as found, and what it is to become."""

    sheet: Sheet
    as_found: Setup
    target: Setup

    @property
    def target_pressure_gauge(self) -> float | None:
        """The pressure the unit is to be ridden at [Pa]; None if the target leaves it open."""
        charge = self.target.charge
        return charge.pressure_gauge.si if isinstance(charge, Charge) else None

    def wanted(self, field: str) -> JudgedSetting | None:
        """A setting of the target; None if it has none of that name."""
        return dict(settings_in(self.sheet, self.target)).get(field)


@dataclass(frozen=True, slots=True)
class StepMoment:
    """A step about to be carried out on an item, and the unit as it stands then."""

    case: Case
    state: UnitState
    step: Step
    item: Item

    @property
    def work(self) -> ItemWork | None:
        """What the sheet says about this act on this item."""
        return self.item.work(self.step.act)

    def on(self, *roles: Role) -> tuple[Item, ...]:
        """The items of these roles that are on."""
        return tuple(i for i in self.case.sheet.items if i.role in roles and i.key not in self.state.off)

    def off(self, *roles: Role) -> tuple[Item, ...]:
        """The items of these roles that are off."""
        return tuple(i for i in self.case.sheet.items if i.role in roles and i.key in self.state.off)

    def change_due(self, item: Item) -> bool:
        """Whether an item still has to be brought to the target's setting."""
        field = field_of(item)
        return not same_setting(self.setting(field), self.case.wanted(field))

    def setting(self, field: str) -> JudgedSetting | None:
        """A setting as it is now; None if this unit has none of that name."""
        return dict(self.state.settings).get(field)


@dataclass(frozen=True, slots=True)
class StepRule:
    """A rule that a step can break.

    Attributes
    ----------
    name, reason : str
        The reason states the hazard and why, in one sentence.
    acts : frozenset of Act
        The acts it looks at.
    fault : callable
        What is wrong with a step, as a clause; empty if nothing is.
    roles : frozenset of Role
        The roles it looks at; empty for every item.
    """

    name: str
    reason: str
    acts: frozenset[Act]
    fault: Callable[[StepMoment], str]
    roles: frozenset[Role] = frozenset()

    def refusal(self, moment: StepMoment) -> Refusal | None:
        """The refusal of a step that breaks this rule, or None."""
        if moment.step.act not in self.acts or (self.roles and moment.item.role not in self.roles):
            return None
        fault = self.fault(moment)
        return Refusal(self.name, moment.step.key, fault) if fault else None


@dataclass(frozen=True, slots=True)
class EndRule:
    """A rule that the unit must meet when the last step is done; `fault` as for a step."""

    name: str
    reason: str
    fault: Callable[[Case, UnitState], str]

    def refusal(self, case: Case, state: UnitState) -> Refusal | None:
        """The refusal of an end that breaks this rule, or None."""
        fault = self.fault(case, state)
        return Refusal(self.name, None, fault) if fault else None


def naming(clause: str, items: Iterable[Item]) -> str:
    """A clause followed by the keys of the items it is about; empty if there are none."""
    return listing(clause, (item.key for item in items))


def listing(clause: str, words: Iterable[str]) -> str:
    """A clause followed by the words it is about; empty if there are none."""
    listed = ", ".join(words)
    return f"{clause}: {listed}" if listed else ""
