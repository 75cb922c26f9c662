"""Rows of a plan: what its spring does, its options, the bike, its findings; shown by terminal and page alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from sagwright.domain.behaviour import Behaviour, Option
from sagwright.domain.finding import Finding
from sagwright.domain.plan import Selection
from sagwright.domain.setup import Change
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Side, Stance
from sagwright.phrases import findings, quantities, spring, stance
from sagwright.phrases.changes import ChangeText, change_text
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS, BehaviourTerm
from sagwright.units import UnitChoice

_NEAREST: Final = 8
"""Options that are shown before anybody asks for all of them."""


@dataclass(frozen=True, slots=True)
class BehaviourRow:
    """One behaviour: its name and meaning, as found and target with their standard uncertainties, and the unit."""

    name: str
    meaning: str
    found: str
    found_u: str
    target: str
    target_u: str
    unit: str


@dataclass(frozen=True, slots=True)
class OptionRow:
    """One row of the options.

    Attributes
    ----------
    kind : str
        "found", "target", "same" for the pressure or stack as found, or "other".
    cells : tuple of str
        Under `phrases.spring.option_headings`.
    option : Option or None
        None for as found.
    """

    kind: str
    cells: tuple[str, ...]
    option: Option | None = None

    def remark(self, again: str) -> str:
        """The remark beside an option; `again` is the one for an option at the pressure as found."""
        one = self.option
        if one is None:
            return ""
        remarks = (
            ("target", self.kind == "target"),
            (again if one.preload is None else "stack as found", one.as_found),
            ("at the limit", one.at_limit),
            ("not permitted", not one.permitted),
        )
        return ", ".join(text for text, holds in remarks if holds)


@dataclass(frozen=True, slots=True)
class StanceRow:
    """One number of the bike: as found, target, and the difference; empty where one is not known."""

    name: str
    found: str
    target: str
    difference: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding: its code, its severity, its sentence, and what it is about."""

    code: str
    severity: str
    sentence: str
    about: str


def behaviour_rows(selection: Selection, choice: UnitChoice) -> tuple[BehaviourRow, ...]:
    """Every behaviour as found and at the target; none where neither is known."""
    view = selection.spring
    if not (view.as_found or view.target):
        return ()
    found = view.as_found[0] if len(view.as_found) == 1 else None
    return tuple(
        BehaviourRow(
            name=term.name,
            meaning=term.meaning,
            found=_over(term, view.as_found, choice) or "?",
            found_u=_uncertainty(term, found, choice),
            target=_over(term, () if view.target is None else (view.target,), choice) or "–",
            target_u=_uncertainty(term, view.target, choice),
            unit=choice.unit(term.quantity),
        )
        for term in BEHAVIOUR_TERMS
    )


def _uncertainty(term: BehaviourTerm, behaviour: Behaviour | None, choice: UnitChoice) -> str:
    u = None if behaviour is None else term.of(behaviour).u
    return "" if u is None else quantities.uncertainty_in_column(u, term.quantity, choice)


def _over(term: BehaviourTerm, behaviours: tuple[Behaviour, ...], choice: UnitChoice) -> str:
    """A behaviour's number, or its range over several possibilities; empty where there are none."""
    if not behaviours:
        return ""
    numbers = [term.of(one).value for one in behaviours]
    low, high = (quantities.in_column(end, term.quantity, choice) for end in (min(numbers), max(numbers)))
    return low if low == high else f"{low}–{high}"


def basis_rows(selection: Selection, choice: UnitChoice) -> tuple[LabelledLine, ...]:
    """The load, aim and exponents from which the behaviours are computed."""
    view = selection.spring
    return (
        LabelledLine("load", spring.load_text(view.load, choice)),
        LabelledLine("aim", spring.aim_text(view.aim, choice)),
        LabelledLine("exponents", spring.exponents_text(view, choice)),
    )


def friction_rows(selection: Selection, choice: UnitChoice) -> tuple[LabelledLine, ...]:
    """Friction as found and at the target, as far as it is known."""
    both = (("as found", selection.spring.as_found_friction), ("target", selection.spring.target_friction))
    return tuple(LabelledLine(f"friction, {name}", spring.friction_text(one, choice)) for name, one in both if one)


def uncertainty_note(selection: Selection, choice: UnitChoice) -> str:
    """What ± stands for."""
    return spring.uncertainties_meaning(selection.spring.sag_tells, choice, selection.intake.sheet)


def as_found_row(selection: Selection, choice: UnitChoice) -> OptionRow | None:
    """As found under the headings of the options; ranges where it may be several setups, None where unknown."""
    view, setup, sheet = selection.spring, selection.intake.as_found.setup, selection.intake.sheet
    if not view.as_found:
        return None
    if len(view.as_found) == 1:
        cells = spring.as_found_cells(setup, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        return OptionRow("found", cells)
    ranges = tuple(_over(term, view.as_found, choice) for term in BEHAVIOUR_TERMS)
    unknown = ("?",) * (len(spring.option_headings(sheet, choice)) - len(ranges) - 1)
    return OptionRow("found", (*unknown, *ranges, ""))


def option_rows(selection: Selection, choice: UnitChoice) -> Iterator[OptionRow]:
    """Every option, the nearest to the aim first."""
    for one in selection.options:
        kind = "target" if one == selection.target else "same" if one.as_found else "other"
        yield OptionRow(kind, spring.option_cells(one, selection.intake.sheet, choice), one)


def change_rows(changes: Iterable[Change], sheet: Sheet, choice: UnitChoice) -> tuple[ChangeText, ...]:
    """What changes inside."""
    return tuple(change_text(change, sheet, choice) for change in changes)


def finding_rows(said: Iterable[Finding], choice: UnitChoice) -> tuple[FindingRow, ...]:
    """Findings in words."""
    return tuple(
        FindingRow(one.code, one.severity.value, findings.finding_sentence(one, choice), one.field) for one in said
    )


def stance_rows(block: Mapping[Side, Stance], choice: UnitChoice) -> Iterator[StanceRow]:
    """The fork's length and every number of a stance, as found and at the target."""
    found, target = block.get(Side.AS_FOUND), block.get(Side.TARGET)
    for term in (stance.FORK, *stance.STANCE_TERMS):
        before, after = ("" if one is None else stance.value_of(term, one, choice) for one in (found, target))
        changed = None if found is None or target is None else stance.difference_of(term, found, target)
        yield StanceRow(term.name, before, after, stance.change(changed, term.quantity, choice))
