"""The candidates of a plan as rows, each of which can be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final
from urllib.parse import urlencode

from sagwright.domain.behaviour import Behaviour, Candidate
from sagwright.domain.plan import Selection
from sagwright.domain.value import Unknown
from sagwright.phrases import quantities, spring
from sagwright.phrases.spring_terms import TERMS, Term
from sagwright.units import Choice

NEAREST: Final = 8  # candidates that are shown at once
FAR: Final = "far"


@dataclass(frozen=True, slots=True)
class CandidateRow:
    """One row of the candidates.

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


def candidate_rows(selection: Selection, choice: Choice) -> Iterator[CandidateRow]:
    """As found, then every candidate, the nearest to the aim first."""
    view, found, sheet = selection.spring, selection.intake.as_found.build, selection.intake.sheet
    if len(view.as_found) == 1:
        cells = spring.as_found_cells(found, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        yield CandidateRow("found", cells, "as found", "")
    elif view.as_found:
        ranges = tuple(over(term, view.as_found, choice) for term in TERMS)
        unknown = ("?",) * (len(spring.candidate_headings(sheet, choice)) - len(ranges) - 1)
        yield CandidateRow("found", (*unknown, *ranges, ""), "as found, as far as it is known", "")
    for place, candidate in enumerate(selection.candidates):
        row = _candidate(candidate, selection, choice)
        yield replace(row, kind=FAR) if place >= NEAREST and row.kind == "other" else row


def _candidate(candidate: Candidate, selection: Selection, choice: Choice) -> CandidateRow:
    chosen = candidate == selection.target
    kind = "target" if chosen else "same" if candidate.same_pressure else "other"
    remarks = (
        ("target", chosen),
        ("the same pressure again" if candidate.preload is None else "stack as found", candidate.same_pressure),
        ("at the limit", candidate.at_limit),
        ("not permitted", not candidate.permitted),
    )
    return CandidateRow(
        kind,
        spring.candidate_cells(candidate, selection.intake.sheet, choice),
        ", ".join(text for text, holds in remarks if holds),
        _take(candidate, selection) if candidate.permitted and not chosen else "",
    )


def _take(candidate: Candidate, selection: Selection) -> str:
    """What the controls are set to by taking a row, as a query."""
    fitting, written = candidate.build.fitting, _written(selection)
    if fitting is not None:
        return urlencode({"coil": str(fitting.coil), "preload": str(fitting.preload_spacers)})
    pairs = {"spacers": str(candidate.build.volume_spacers)}
    if candidate.same_pressure and written:
        number, _, unit = written.partition(" ")
        pairs |= {"pressure": number, "pressure.unit": unit, "pressure.was": number, "pressure.as": written}
    return urlencode(pairs)


def _written(selection: Selection) -> str:
    """The pressure as found, as it was written."""
    charge = selection.intake.as_found.build.charge
    return "" if isinstance(charge, Unknown) else charge.pressure_gauge.as_written.partition("±")[0].strip()


def over(term: Term, behaviours: tuple[Behaviour, ...], choice: Choice) -> str:
    """A behaviour's number, or its range over several possibilities; empty where there are none."""
    if not behaviours:
        return ""
    numbers = [term.of(one) for one in behaviours]
    low, high = (quantities.in_column(end, term.quantity, choice) for end in (min(numbers), max(numbers)))
    return low if low == high else f"{low}–{high}"
