"""Stances of one bike with several forks or in a plan, and findings with the most severe first, as documents."""

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
)
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Plan
from sagwright.domain.stance import RiderLoad, Side, Stance, StanceView, stance_difference
from sagwright.domain.value import Quantity
from sagwright.phrases import findings, stance
from sagwright.phrases.stance import STANCE_TERMS
from sagwright.service.calculators import Stances
from sagwright.units import UnitChoice

SEVERITIES: Final = {Severity.NOT_ALLOWED: Tone.REFUSE, Severity.QUESTION: Tone.ASK, Severity.NOTE: Tone.SOFT}

_TONES: Final = {Side.AS_FOUND: Tone.FOUND, Side.TARGET: Tone.TARGET}


def findings_rows(said: tuple[Finding, ...], choice: UnitChoice) -> TextRows | Paragraph:
    """Every finding with what it is about; "None." if there is none."""
    if not said:
        return Paragraph("None.")
    return TextRows(
        tuple(
            TextRow(
                finding.severity,
                f"{findings.finding_sentence(finding, choice)} ({finding.field})",
                SEVERITIES[finding.severity],
            )
            for severity in Severity
            for finding in said
            if finding.severity is severity
        )
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


def bike_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    """What a plan does to the bike, as far as anything is known of it."""
    view = plan.stance
    if view is None:
        return
    yield Heading("What it does to the bike")
    if view.outline is not None:
        yield TextRows(tuple(TextRow(name, text) for name, text in stance.outline_lines(view.outline, choice)))
    if view.topped_out:
        yield _before_and_after(view, choice)
        if view.sagged:
            yield Paragraph(stance.sagged_meaning(view, choice), Tone.SOFT)
    if view.rider_loads:
        yield Paragraph("")
        yield TextRows(tuple(TextRow(*_sat(one, choice), _TONES[one.side]) for one in view.rider_loads))
    if view.clearances:
        yield Paragraph("")
        yield TextRows(tuple(TextRow(*line) for line in stance.clearance_lines(view.clearances, choice)))


def _sat(sat: RiderLoad, choice: UnitChoice) -> tuple[str, str]:
    return stance.sat_lead(sat), stance.sat_text(sat, choice)


def _before_and_after(view: StanceView, choice: UnitChoice) -> TextTable:
    """Topped out and at sag: as found, target, difference."""
    blocks = [dict(view.topped_out), dict(view.sagged)]
    columns = [TextColumn("", right=False)]
    for name, block in zip(("topped out", "at sag"), blocks, strict=True):
        if block:
            columns += [TextColumn(f"{name}\nas found"), TextColumn("\ntarget"), TextColumn("\n")]
    lines = [TextLine((term.name, *_cells(term, blocks, choice))) for term in (stance.FORK, *STANCE_TERMS)]
    return TextTable(tuple(columns), tuple(lines))


def _cells(term: stance.StanceTerm, blocks: list[dict[Side, Stance]], choice: UnitChoice) -> Iterator[str]:
    for block in blocks:
        if not block:
            continue
        before, after = block.get(Side.AS_FOUND), block.get(Side.TARGET)
        yield "?" if before is None else stance.value_of(term, before, choice)
        yield "–" if after is None else stance.value_of(term, after, choice)
        change = None if before is None or after is None else stance.difference_of(term, before, after)
        yield stance.change(change, term.quantity, choice)
