"""A plan as a document, its sections in the order of the work; what the spring does, the options; drawings as files."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator

from sagwright.cli.terminal.document import (
    Block,
    Heading,
    Paragraph,
    TextColumn,
    TextDocument,
    TextLine,
    TextTable,
    Tone,
    labelled_rows,
)
from sagwright.cli.views.stance import bike_section, findings_rows
from sagwright.cli.views.steps import plan_title
from sagwright.cli.views.work import cautions_section, changes_section, progress_blocks, steps_section, supplies_section
from sagwright.domain.behaviour import Option
from sagwright.domain.plan import Plan, Selection
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import legs_of
from sagwright.drawing.font import standalone
from sagwright.drawing.side_view import bikes_of, side_view
from sagwright.errors import MissingValue
from sagwright.phrases import plan_rows, spring
from sagwright.service.calculators import insides
from sagwright.units import UnitChoice

REFUSED = "Refused as wished: there is no target, and so no steps, until that is put right."
NO_TARGET = "Nothing that can be reached may be a target, so there are no steps: change what the wish pins."

REASSEMBLY = "What was found makes the wish impossible: the steps below only close the unit safely again."


def spring_section(selection: Selection, choice: UnitChoice) -> Iterator[Block]:
    """Load, exponents, aim, and the behaviours as found and at the target."""
    yield Heading("What it does")
    yield labelled_rows(plan_rows.basis_rows(selection, choice))
    if behaviours := plan_rows.behaviour_rows(selection, choice):
        yield Paragraph("")
        yield _behaviour_table(behaviours)
        yield labelled_rows(plan_rows.friction_rows(selection, choice))
        yield Paragraph(plan_rows.uncertainty_note(selection, choice), Tone.SOFT)


def _behaviour_table(rows: tuple[plan_rows.BehaviourRow, ...]) -> TextTable:
    heads = (TextColumn("as found"), TextColumn("±"), TextColumn("target"), TextColumn("±"))
    lines = (
        TextLine((one.name, one.found, one.found_u, one.target, one.target_u, one.unit, one.meaning)) for one in rows
    )
    return TextTable((TextColumn("", right=False), *heads, *(TextColumn("", right=False),) * 2), tuple(lines))


def options_section(selection: Selection, choice: UnitChoice, *, shown: int) -> Iterator[Block]:
    """As found, the best options and the as-found pressure again, all under the same columns."""
    if not selection.options:
        return
    yield Heading("Options")
    headings = spring.option_headings(selection.intake.sheet, choice)
    columns = (TextColumn("", right=False), *(TextColumn(heading) for heading in headings), TextColumn("", right=False))
    yield TextTable(columns, (*_as_found_lines(selection, choice), *_option_lines(selection, choice, shown)))
    left = len(selection.options) - shown
    if left > 0:
        yield Paragraph(f"{left} more, farther from the aim: --all shows them.", Tone.SOFT)
    if _alike(selection.options):
        yield Paragraph("All meet the aim alike: choose by what else they do.", Tone.SOFT)
    if known := spring.options_uncertainty(selection.options, choice):
        yield Paragraph(known, Tone.SOFT)
    yield Paragraph(spring.distance_meaning(selection.spring.noticeable, choice), Tone.SOFT)


def _alike(options: tuple[Option, ...]) -> bool:
    """Whether no row that may be chosen is nearer to the aim than another, as far as is shown."""
    return len({f"{one.mismatch:.1f}" for one in options if one.permitted}) == 1 < len(options)


def _as_found_lines(selection: Selection, choice: UnitChoice) -> Iterator[TextLine]:
    """As found, where it is one setup; where it may be several their range stands above."""
    row = plan_rows.as_found_row(selection, choice)
    if row is not None and len(selection.spring.as_found) == 1:
        yield TextLine(("as found", *row.cells, ""), Tone.FOUND)


def _option_lines(selection: Selection, choice: UnitChoice, shown: int) -> Iterator[TextLine]:
    for rank, row in enumerate(plan_rows.option_rows(selection, choice), start=1):
        if rank <= shown or row.kind != "other":
            tone = Tone.TARGET if row.kind == "target" else Tone.PLAIN
            yield TextLine((f"{rank:>2}", *row.cells, row.remark("pressure as found")), tone)


def plan_document(plan: Plan, choice: UnitChoice, *, all_options: bool = False) -> TextDocument:
    """Everything a plan says."""
    selected = plan.selection
    about = () if selected is None else _selection(plan, selected, choice, all_shown=all_options)
    return (
        plan_title(plan, choice),
        *about,
        *progress_blocks(plan.work),
        *supplies_section(plan.work, choice),
        *steps_section(plan, choice),
        *cautions_section(plan),
    )


def _selection(plan: Plan, selection: Selection, choice: UnitChoice, *, all_shown: bool) -> Iterator[Block]:
    """How the target was selected, and what it changes."""
    yield from _findings_section(plan, choice)
    yield from spring_section(selection, choice)
    shown = len(selection.options) if all_shown else plan_rows._NEAREST
    yield from options_section(selection, choice, shown=shown)
    yield from bike_section(selection, choice)
    yield from changes_section(plan.work, choice)


def _findings_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    yield Heading("Findings")
    yield findings_rows(plan.findings, choice)
    if plan.target is None:
        refused = REFUSED if plan.refused else NO_TARGET
        yield Paragraph(refused if plan.reassembly is None else REASSEMBLY, Tone.STRONG)


def write_side_view(selection: Selection, choice: UnitChoice, path: str) -> None:
    """The bike as found and at the target, topped out, over each other.

    Raises
    ------
    MissingValue
        If nothing is known of the bike.
    """
    bikes = bikes_of(selection)
    if not bikes:
        raise MissingValue("must be known to draw its side view", field="bike", remedy="Write bike into the intake.")
    _write(side_view(bikes, choice=choice), path)


def write_cutaway(selection: Selection, choice: UnitChoice, path: str) -> None:
    """The spring leg as found and at the target, beside each other.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    legs = legs_of(insides(selection))
    if not legs:
        raise MissingValue("must be known to draw its spring leg", field="as_found", remedy="Open the unit first.")
    _write(cutaway(legs, choice=choice), path)


def _write(drawing: str, path: str) -> None:
    pathlib.Path(path).write_text(standalone(drawing), "utf-8", newline="\n")
