"""Stances of one bike with several forks or in a selection, and findings with the most severe first, as documents."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sagwright.cli.terminal.document import (
    Block,
    Heading,
    Paragraph,
    TextColumn,
    TextDocument,
    TextLine,
    TextRow,
    TextRows,
    TextTable,
    Tone,
    labelled_rows,
)
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Selection
from sagwright.domain.stance import Side, Stance, StanceView, stance_difference
from sagwright.domain.value import Quantity
from sagwright.phrases import stance
from sagwright.phrases.plan_rows import finding_rows, stance_rows
from sagwright.phrases.stance import STANCE_TERMS
from sagwright.service.calculators import Stances
from sagwright.units import UnitChoice

SEVERITIES: Final = {Severity.NOT_ALLOWED: Tone.REFUSE, Severity.QUESTION: Tone.ASK, Severity.NOTE: Tone.SOFT}

_TONES: Final = {Side.AS_FOUND: Tone.FOUND, Side.TARGET: Tone.TARGET}


def findings_rows(said: tuple[Finding, ...], choice: UnitChoice) -> TextRows | Paragraph:
    """Every finding with what it is about; "None." if there is none."""
    rows = finding_rows(said, choice)
    return (
        TextRows(
            tuple(
                TextRow(one.severity, f"{one.sentence} ({one.about})", SEVERITIES[severity])
                for severity in Severity
                for one in rows
                if one.severity == severity
            )
        )
        if rows
        else Paragraph("None.")
    )


def stance_document(made: Stances, choice: UnitChoice) -> TextDocument:
    """A bike with several forks, and what is said of them."""
    return (
        TextRows(
            (
                TextRow("bike", made.bike.name, Tone.STRONG),
                TextRow("rear sag", stance.rear_sag_text(made.stances[0], choice)),
            )
        ),
        Heading("How it stands"),
        _comparison(made.stances, choice),
        Heading("Findings"),
        findings_rows(made.findings, choice),
    )


def _comparison(many: tuple[Stance, ...], choice: UnitChoice) -> TextTable:
    """A column per fork, and for all but the first what differs from the first."""
    names = [stance.stance_number(one.axle_to_crown, Quantity.LENGTH, choice) for one in many]
    columns = [TextColumn("axle to crown", right=False), TextColumn(names[0])]
    for name in names[1:]:
        columns += [TextColumn(name), TextColumn("")]
    lines = [_sag_line(many, choice)]
    for term in STANCE_TERMS:
        cells = [term.name, stance.value_of(term, many[0], choice)]
        for one in many[1:]:
            change = stance_difference(many[0], one)[term.field]
            cells += [stance.value_of(term, one, choice), stance.change(change, term.quantity, choice)]
        lines.append(TextLine(tuple(cells)))
    return TextTable(tuple(columns), tuple(lines))


def _sag_line(many: tuple[Stance, ...], choice: UnitChoice) -> TextLine:
    first, *others = (stance.stance_number(one.front_sag, Quantity.LENGTH, choice) for one in many)
    return TextLine(("front sag", first, *(cell for other in others for cell in (other, ""))))


def bike_section(selection: Selection, choice: UnitChoice) -> Iterator[Block]:
    """What a plan does to the bike, as far as anything is known of it."""
    view = selection.stance
    if view is None:
        return
    yield Heading("What it does to the bike")
    if view.outline is not None:
        yield labelled_rows(stance.outline_lines(view.outline, choice))
    if view.topped_out:
        yield _before_and_after(view, choice)
        if view.sagged:
            yield Paragraph(stance.sagged_meaning(view, choice), Tone.SOFT)
    if view.rider_loads:
        yield Paragraph("")
        sats = ((stance.sat_line(one, choice), _TONES[one.side]) for one in view.rider_loads)
        yield TextRows(tuple(TextRow(line.label, line.text, tone) for line, tone in sats))
    if view.clearances:
        yield Paragraph("")
        yield labelled_rows(stance.clearance_lines(view.clearances, choice))


def _before_and_after(view: StanceView, choice: UnitChoice) -> TextTable:
    """Topped out and at sag: as found, target, difference."""
    blocks = [
        (name, dict(block)) for name, block in (("topped out", view.topped_out), ("at sag", view.sagged)) if block
    ]
    columns = [TextColumn("", right=False)]
    for name, _ in blocks:
        columns += [TextColumn(f"{name}\nas found"), TextColumn("\ntarget"), TextColumn("\n")]
    lines = []
    for rows in zip(*(stance_rows(block, choice) for _, block in blocks), strict=True):
        cells = (cell for row in rows for cell in (row.found or "?", row.target or "–", row.difference))
        lines.append(TextLine((rows[0].name, *cells)))
    return TextTable(tuple(columns), tuple(lines))
