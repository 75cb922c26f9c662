"""A plan as a document, its sections in the order of the work; what the spring does, the options; drawings as files."""

from __future__ import annotations

import pathlib
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
from sagwright.cli.views.stance import bike_section, findings_rows
from sagwright.cli.views.work import cautions_section, changes_section, progress_blocks, steps_section, supplies_section
from sagwright.domain.behaviour import Behaviour, BehaviourU, Option
from sagwright.domain.plan import Plan
from sagwright.domain.stance import Side
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.font import standalone
from sagwright.drawing.side_view import Shown, side_view
from sagwright.drawing.svg import Meaning
from sagwright.errors import MissingValue
from sagwright.phrases import quantities, spring
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS, BehaviourTerm
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.calculators import insides
from sagwright.units import UnitChoice

FIRST_SHOWN = 8  # options, unless all are asked for
REFUSED = "Refused as wished: there is no target, and so no steps, until that is put right."
NO_TARGET = "Nothing that can be reached may be a target, so there are no steps: change what the wish pins."

REASSEMBLY = "What was found makes the wish impossible: the steps below only close the unit safely again."

_MEANINGS: Final = {Side.AS_FOUND: Meaning.AS_FOUND, Side.TARGET: Meaning.TARGET}


def spring_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    """Load, exponents, aim, and the behaviours as found and at the target."""
    view = plan.spring
    yield Heading("What it does")
    yield TextRows(
        (
            TextRow("load", spring.load_text(view.load, choice)),
            TextRow("aim", spring.aim_text(view.aim, choice)),
            TextRow("exponents", spring.exponents_text(view, choice)),
        )
    )
    if view.as_found or view.target:
        yield Paragraph("")
        yield _behaviour_table(plan, choice)
        yield TextRows(
            tuple(
                TextRow(f"friction, {name}", spring.friction_text(friction, choice))
                for name, friction in (("as found", view.as_found_friction), ("target", view.target_friction))
                if friction is not None
            )
        )
        reading = "the pump's gauge" if plan.intake.sheet.coil is None else "the adjuster's turns"
        yield Paragraph(spring.uncertainties_meaning(view.sag_tells, choice, reading=reading), Tone.SOFT)


def _behaviour_table(plan: Plan, choice: UnitChoice) -> TextTable:
    columns = (
        TextColumn("", right=False),
        TextColumn("as found"),
        TextColumn("±"),
        TextColumn("target"),
        TextColumn("±"),
        TextColumn("", right=False),
        TextColumn("", right=False),
    )
    return TextTable(columns, tuple(_behaviour_line(term, plan, choice) for term in BEHAVIOUR_TERMS))


def _behaviour_line(term: BehaviourTerm, plan: Plan, choice: UnitChoice) -> TextLine:
    view = plan.spring
    target = "" if view.target is None else quantities.in_column(term.of(view.target), term.quantity, choice)
    found = _over(term, view.as_found, choice)
    found_u = _uncertainty(term, view.as_found_u[0] if len(view.as_found_u) == 1 else None, choice)
    target_u = _uncertainty(term, view.target_u, choice)
    unit = choice.unit(term.quantity)
    return TextLine((term.name, found or "?", found_u, target or "–", target_u, unit, term.meaning))


def _uncertainty(term: BehaviourTerm, u: BehaviourU | None, choice: UnitChoice) -> str:
    """A behaviour's standard uncertainty; empty where it is not known."""
    known: float | None = getattr(u, term.field, None)
    return "" if known is None else quantities.uncertainty_in_column(known, term.quantity, choice)


def _over(term: BehaviourTerm, behaviours: tuple[Behaviour, ...], choice: UnitChoice) -> str:
    """A behaviour's number, or the range of it over several possibilities."""
    if not behaviours:
        return ""
    numbers = [term.of(behaviour) for behaviour in behaviours]
    low, high = (quantities.in_column(end, term.quantity, choice) for end in (min(numbers), max(numbers)))
    return low if low == high else f"{low}–{high}"


def options_section(plan: Plan, choice: UnitChoice, *, shown: int) -> Iterator[Block]:
    """As found, the best options and the as-found pressure again, all under the same columns."""
    if not plan.options:
        return
    yield Heading("Options")
    headings = spring.option_headings(plan.intake.sheet, choice)
    columns = (TextColumn("", right=False), *(TextColumn(heading) for heading in headings), TextColumn("", right=False))
    yield TextTable(columns, (*_as_found_lines(plan, choice), *_option_lines(plan, choice, shown)))
    left = len(plan.options) - shown
    if left > 0:
        yield Paragraph(f"{left} more, farther from the aim: --all shows them.", Tone.SOFT)
    if _alike(plan.options):
        yield Paragraph("All meet the aim alike: choose by what else they do.", Tone.SOFT)
    if known := spring.options_uncertainty(plan.options, plan.intake.sheet, choice):
        yield Paragraph(known, Tone.SOFT)
    yield Paragraph(spring.distance_meaning(plan.spring.noticeable, choice), Tone.SOFT)


def _alike(options: tuple[Option, ...]) -> bool:
    """Whether no row that may be chosen is nearer to the aim than another, as far as is shown."""
    return len({f"{one.mismatch:.1f}" for one in options if one.permitted}) == 1 < len(options)


def _as_found_lines(plan: Plan, choice: UnitChoice) -> Iterator[TextLine]:
    """As found, where it is one setup; where it may be several their range stands above."""
    if len(plan.spring.as_found) == 1:
        setup, view, sheet = plan.intake.as_found.setup, plan.spring, plan.intake.sheet
        cells = spring.as_found_cells(setup, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        yield TextLine(("as found", *cells, ""), Tone.FOUND)


def _option_lines(plan: Plan, choice: UnitChoice, shown: int) -> Iterator[TextLine]:
    for rank, option in enumerate(plan.options, start=1):
        if rank <= shown or option == plan.target or option.as_found_pressure:
            chosen = option == plan.target
            cells = spring.option_cells(option, plan.intake.sheet, choice)
            tone = Tone.TARGET if chosen else Tone.PLAIN
            yield TextLine((f"{rank:>2}", *cells, _remark(option, chosen=chosen)), tone)


def _remark(option: Option, *, chosen: bool) -> str:
    remarks = (
        ("target", chosen),
        ("pressure as found" if option.preload is None else "stack as found", option.as_found_pressure),
        ("at the limit", option.at_limit),
        ("not permitted", not option.permitted),
    )
    return ", ".join(text for text, holds in remarks if holds)


def plan_document(plan: Plan, choice: UnitChoice, *, all_options: bool = False) -> TextDocument:
    """Everything a plan says."""
    shown = len(plan.options) if all_options else FIRST_SHOWN
    return (
        *_title_section(plan, choice),
        *_findings_section(plan, choice),
        *spring_section(plan, choice),
        *options_section(plan, choice, shown=shown),
        *bike_section(plan, choice),
        *changes_section(plan, choice),
        *progress_blocks(plan),
        *supplies_section(plan, choice),
        *steps_section(plan, choice),
        *cautions_section(plan),
    )


def _title_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    intake = plan.intake
    sheet = intake.sheet
    serial = f"no. {intake.unit.serial}" if intake.unit.serial else "no serial number"
    yield TextRows(
        (
            TextRow("plan", f"{intake.name}, by {plan.program}"),
            TextRow("unit", f"{sheet.maker} {sheet.model}, chassis {intake.unit.chassis}, {serial}", Tone.STRONG),
            TextRow("sheet", f"{sheet.name}, revision {sheet.revision}, on {sheet.base}"),
            TextRow("as found", spring.setup_text(intake.as_found.setup, choice, sheet.coil), Tone.FOUND),
            TextRow("wish", spring.wish_line(intake.wish, choice), Tone.TARGET),
            *_tasks_row(plan, choice),
        )
    )


def _tasks_row(plan: Plan, choice: UnitChoice) -> Iterator[TextRow]:
    if plan.intake.tasks:
        yield TextRow("tasks", ", ".join(task_text(task, choice) for task in plan.intake.tasks), Tone.TARGET)


def _findings_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    yield Heading("Findings")
    yield findings_rows(plan.findings, choice)
    if plan.target is None:
        refused = REFUSED if plan.refused else NO_TARGET
        yield Paragraph(refused if plan.reassembly is None else REASSEMBLY, Tone.STRONG)


def write_side_view(plan: Plan, choice: UnitChoice, path: str) -> None:
    """The bike as found and at the target, topped out, over each other.

    Raises
    ------
    MissingValue
        If nothing is known of the bike.
    """
    stances = () if plan.stance is None else plan.stance.topped_out
    if not stances:
        raise MissingValue("must be known to draw its side view", field="bike", remedy="Write bike into the intake.")
    shown = tuple(Shown(side.value, _MEANINGS[side], stance) for side, stance in stances)
    _write(side_view(shown, choice=choice), path)


def write_cutaway(plan: Plan, choice: UnitChoice, path: str) -> None:
    """The spring leg as found and at the target, beside each other.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    legs = insides(plan)
    if not legs:
        raise MissingValue("must be known to draw its spring leg", field="as_found", remedy="Open the unit first.")
    _write(cutaway([ShownLeg(side.value, _MEANINGS[side], leg) for side, leg in legs], choice=choice), path)


def _write(drawing: str, path: str) -> None:
    pathlib.Path(path).write_text(standalone(drawing), "utf-8", newline="\n")
