"""Stances of one bike with several forks or in a selection, and findings with the most severe first, as documents."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sagwright.cli.terminal.document import Block, Column, Document, Heading, Line, Paragraph, Row, Rows, Table, Tone
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Selection
from sagwright.domain.stance import Sat, Side, Stance, StanceView, difference
from sagwright.domain.value import Quantity
from sagwright.phrases import findings, stance
from sagwright.phrases.stance import TERMS
from sagwright.service.calculators import Stances
from sagwright.units import Choice

SEVERITIES: Final = {Severity.REFUSE: Tone.REFUSE, Severity.ASK: Tone.ASK, Severity.NOTE: Tone.SOFT}

TONES: Final = {Side.AS_FOUND: Tone.FOUND, Side.TARGET: Tone.TARGET}


def findings_rows(said: tuple[Finding, ...], choice: Choice) -> Rows | Paragraph:
    """Every finding with what it is about; "None." if there is none."""
    if not said:
        return Paragraph("None.")
    return Rows(
        tuple(
            Row(
                finding.severity,
                f"{findings.sentence(finding, choice)} ({finding.field})",
                SEVERITIES[finding.severity],
            )
            for severity in Severity
            for finding in said
            if finding.severity is severity
        )
    )


def stance_document(made: Stances, choice: Choice) -> Document:
    """A bike with several forks, and what is said of them."""
    return (
        Rows((Row("bike", made.bike.name, Tone.STRONG), Row("rear sag", stance.rear_sag(made.stances[0], choice)))),
        Heading("How it stands"),
        _comparison(made.stances, choice),
        Heading("Findings"),
        findings_rows(made.findings, choice),
    )


def _comparison(many: tuple[Stance, ...], choice: Choice) -> Table:
    """A column per fork, and for all but the first what differs from the first."""
    names = [stance.number(one.axle_to_crown, Quantity.LENGTH, choice) for one in many]
    columns = [Column("axle to crown", right=False), Column(names[0])]
    for name in names[1:]:
        columns += [Column(name), Column("")]
    lines = [_sag_line(many, choice)]
    for term in TERMS:
        cells = [term.name, stance.value_of(term, many[0], choice)]
        for one in many[1:]:
            change = difference(many[0], one)[term.field]
            cells += [stance.value_of(term, one, choice), stance.change(change, term.quantity, choice)]
        lines.append(Line(tuple(cells)))
    return Table(tuple(columns), tuple(lines))


def _sag_line(many: tuple[Stance, ...], choice: Choice) -> Line:
    first, *others = (stance.number(one.front_sag, Quantity.LENGTH, choice) for one in many)
    return Line(("front sag", first, *(cell for other in others for cell in (other, ""))))


def bike_section(selection: Selection, choice: Choice) -> Iterator[Block]:
    """What a plan does to the bike, as far as anything is known of it."""
    view = selection.stance
    if view is None:
        return
    yield Heading("What it does to the bike")
    if view.outline is not None:
        yield Rows(tuple(Row(name, text) for name, text in stance.outline_lines(view.outline, choice)))
    if view.topped_out:
        yield _before_and_after(view, choice)
        if view.sagged:
            yield Paragraph(stance.sagged_meaning(view, choice), Tone.SOFT)
    if view.sat:
        yield Paragraph("")
        yield Rows(tuple(Row(*_sat(one, choice), TONES[one.side]) for one in view.sat))
    if view.clearances:
        yield Paragraph("")
        yield Rows(tuple(Row(*line) for line in stance.clearance_lines(view.clearances, choice)))


def _sat(sat: Sat, choice: Choice) -> tuple[str, str]:
    return stance.sat_lead(sat), stance.sat_text(sat, choice)


def _before_and_after(view: StanceView, choice: Choice) -> Table:
    """Topped out and at sag: as found, target, difference."""
    blocks = [dict(view.topped_out), dict(view.sagged)]
    columns = [Column("", right=False)]
    for name, block in zip(("topped out", "at sag"), blocks, strict=True):
        if block:
            columns += [Column(f"{name}\nas found"), Column("\ntarget"), Column("\n")]
    lines = [Line((term.name, *_cells(term, blocks, choice))) for term in (stance.FORK, *TERMS)]
    return Table(tuple(columns), tuple(lines))


def _cells(term: stance.Term, blocks: list[dict[Side, Stance]], choice: Choice) -> Iterator[str]:
    for block in blocks:
        if not block:
            continue
        before, after = block.get(Side.AS_FOUND), block.get(Side.TARGET)
        yield "?" if before is None else stance.value_of(term, before, choice)
        yield "–" if after is None else stance.value_of(term, after, choice)
        change = None if before is None or after is None else stance.difference_of(term, before, after)
        yield stance.change(change, term.quantity, choice)
