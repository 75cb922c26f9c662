"""The options of a plan as rows, each of which can be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final
from urllib.parse import urlencode

from sagwright.domain.behaviour import Behaviour, Option
from sagwright.domain.plan import Plan
from sagwright.domain.value import Unknown
from sagwright.phrases import quantities, spring
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS, BehaviourTerm
from sagwright.units import UnitChoice

_NEAREST: Final = 8  # options that are shown at once
FAR: Final = "far"


@dataclass(frozen=True, slots=True)
class OptionRow:
    """One row of the options.

    Attributes
    ----------
    kind : str
        "found", "target", "same", "other", or "far" where it is not among the nearest.
    cells : tuple of str
    remark : str
    take : str
        What taking it sets, as a query; empty where it cannot be taken or is taken already.
    """

    kind: str
    cells: tuple[str, ...]
    remark: str
    take: str


def option_rows(plan: Plan, choice: UnitChoice) -> Iterator[OptionRow]:
    """As found, then every option, the nearest to the aim first."""
    view, found, sheet = plan.spring, plan.intake.as_found.setup, plan.intake.sheet
    if len(view.as_found) == 1:
        cells = spring.as_found_cells(found, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        yield OptionRow("found", cells, "as found", "")
    elif view.as_found:
        ranges = tuple(option_title(term, view.as_found, choice) for term in BEHAVIOUR_TERMS)
        unknown = ("?",) * (len(spring.option_headings(sheet, choice)) - len(ranges) - 1)
        yield OptionRow("found", (*unknown, *ranges, ""), "as found, as far as it is known", "")
    for place, option in enumerate(plan.options):
        row = _option(option, plan, choice)
        yield replace(row, kind=FAR) if place >= _NEAREST and row.kind == "other" else row


def _option(option: Option, plan: Plan, choice: UnitChoice) -> OptionRow:
    chosen = option == plan.target
    kind = "target" if chosen else "same" if option.as_found_pressure else "other"
    remarks = (
        ("target", chosen),
        ("the as-found pressure again" if option.preload is None else "stack as found", option.as_found_pressure),
        ("at the limit", option.at_limit),
        ("not permitted", not option.permitted),
    )
    return OptionRow(
        kind,
        spring.option_cells(option, plan.intake.sheet, choice),
        ", ".join(text for text, holds in remarks if holds),
        _take(option, plan) if option.permitted and not chosen else "",
    )


def _take(option: Option, plan: Plan) -> str:
    """What the controls are set to by taking a row, as a query."""
    fitting, written = option.setup.fitting, _written(plan)
    if fitting is not None:
        return urlencode({"coil": str(fitting.coil), "preload": str(fitting.preload_spacers)})
    pairs = {"spacers": str(option.setup.volume_spacers)}
    if option.as_found_pressure and written:
        number, _, unit = written.partition(" ")
        pairs |= {"pressure": number, "pressure.unit": unit, "pressure.was": number, "pressure.as": written}
    return urlencode(pairs)


def _written(plan: Plan) -> str:
    """The pressure as found, as it was written."""
    charge = plan.intake.as_found.setup.charge
    return "" if isinstance(charge, Unknown) else charge.pressure_gauge.as_written.partition("±")[0].strip()


def option_title(term: BehaviourTerm, behaviours: tuple[Behaviour, ...], choice: UnitChoice) -> str:
    """A behaviour's number, or its range over several possibilities; empty where there are none."""
    if not behaviours:
        return ""
    numbers = [term.of(one) for one in behaviours]
    low, high = (quantities.in_column(end, term.quantity, choice) for end in (min(numbers), max(numbers)))
    return low if low == high else f"{low}–{high}"
