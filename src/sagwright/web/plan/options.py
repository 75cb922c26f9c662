"""The options of a plan as rows, each of which can be taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from sagwright.domain.plan import Selection
from sagwright.domain.value import Unknown
from sagwright.phrases.plan_rows import _NEAREST, OptionRow, as_found_row, option_rows
from sagwright.units import UnitChoice

FAR: Final = "far"


@dataclass(frozen=True, slots=True)
class OfferedRow:
    """One row of the options.

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


def offered_rows(selection: Selection, choice: UnitChoice) -> Iterator[OfferedRow]:
    """As found, then every option, the nearest to the aim first."""
    found = as_found_row(selection, choice)
    if found is not None:
        known = "as found" if len(selection.spring.as_found) == 1 else "as found, as far as it is known"
        yield OfferedRow(found.kind, found.cells, known, "")
    for place, row in enumerate(option_rows(selection, choice)):
        kind = FAR if place >= _NEAREST and row.kind == "other" else row.kind
        yield OfferedRow(kind, row.cells, row.remark("the as-found pressure again"), _take(row, selection))


def _take(row: OptionRow, selection: Selection) -> str:
    """What the controls are set to by taking a row, as a query."""
    option = row.option
    if option is None or not option.permitted or row.kind == "target":
        return ""
    fitting, written = option.setup.fitting, _written(selection)
    if fitting is not None:
        return urlencode({"coil": str(fitting.coil), "preload": str(fitting.preload_spacers)})
    pairs = {"spacers": str(option.setup.volume_spacers)}
    if option.as_found and written:
        number, _, unit = written.partition(" ")
        pairs |= {"pressure": number, "pressure.unit": unit, "pressure.was": number, "pressure.as": written}
    return urlencode(pairs)


def _written(selection: Selection) -> str:
    """The pressure as found, as it was written."""
    charge = selection.intake.as_found.setup.charge
    return "" if isinstance(charge, Unknown) else charge.pressure_gauge.as_written.partition("±")[0].strip()
