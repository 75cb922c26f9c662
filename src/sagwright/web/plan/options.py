"""The candidates of a plan as rows, each of which can be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from sagwright.domain.plan import Selection
from sagwright.domain.value import Unknown
from sagwright.phrases.plan_rows import NEAREST, CandidateRow, as_found_row, candidate_rows
from sagwright.units import Choice

FAR: Final = "far"


@dataclass(frozen=True, slots=True)
class OfferedRow:
    """One row of the candidates.

    Attributes
    ----------
    kind : str
        As that of a `CandidateRow`, or "far" where it is not among the nearest.
    cells : tuple of str
    remark : str
    take : str
        What taking it sets, as a query; empty where it cannot be taken or is taken already.
    """

    kind: str
    cells: tuple[str, ...]
    remark: str
    take: str


def offered_rows(selection: Selection, choice: Choice) -> Iterator[OfferedRow]:
    """As found, then every candidate, the nearest to the aim first."""
    found = as_found_row(selection, choice)
    if found is not None:
        known = "as found" if len(selection.spring.as_found) == 1 else "as found, as far as it is known"
        yield OfferedRow(found.kind, found.cells, known, "")
    for place, row in enumerate(candidate_rows(selection, choice)):
        kind = FAR if place >= NEAREST and row.kind == "other" else row.kind
        yield OfferedRow(kind, row.cells, row.remark("the same pressure again"), _take(row, selection))


def _take(row: CandidateRow, selection: Selection) -> str:
    """What the controls are set to by taking a row, as a query."""
    candidate = row.candidate
    if candidate is None or not candidate.permitted or row.kind == "target":
        return ""
    fitting, written = candidate.build.fitting, _written(selection)
    if fitting is not None:
        return urlencode({"coil": str(fitting.coil), "preload": str(fitting.preload_spacers)})
    pairs = {"spacers": str(candidate.build.volume_spacers)}
    if candidate.as_found and written:
        number, _, unit = written.partition(" ")
        pairs |= {"pressure": number, "pressure.unit": unit, "pressure.was": number, "pressure.as": written}
    return urlencode(pairs)


def _written(selection: Selection) -> str:
    """The pressure as found, as it was written."""
    charge = selection.intake.as_found.build.charge
    return "" if isinstance(charge, Unknown) else charge.pressure_gauge.as_written.partition("±")[0].strip()
