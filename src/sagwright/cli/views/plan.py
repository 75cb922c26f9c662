"""A plan as a document, its sections in the order of the work; what the spring does, the options; drawings as files."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Final

from sagwright.cli.terminal.document import Block, Column, Document, Heading, Line, Paragraph, Row, Rows, Table, Tone
from sagwright.cli.views.stance import bike_section, findings_rows
from sagwright.cli.views.steps import tasks_title
from sagwright.cli.views.work import cautions_section, changes_section, kit_section, progress_blocks, steps_section
from sagwright.domain.behaviour import Behaviour, BehaviourU, Candidate
from sagwright.domain.plan import Plan, Selection
from sagwright.domain.stance import Side
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.font import standalone
from sagwright.drawing.side_view import Shown, side_view
from sagwright.drawing.svg import Meaning
from sagwright.errors import MissingValue
from sagwright.phrases import quantities, spring
from sagwright.phrases.spring_terms import TERMS, Term
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.calculators import insides
from sagwright.units import Choice

FIRST_SHOWN = 8  # candidates, unless all are asked for
REFUSED = "Refused as wished: there is no target, and so no steps, until that is put right."
NO_TARGET = "Nothing that can be reached may be a target, so there are no steps: change what the wish pins."

WAY_BACK = "What was found makes the wish impossible: the steps below only close the unit safely again."

MEANINGS: Final = {Side.AS_FOUND: Meaning.AS_FOUND, Side.TARGET: Meaning.TARGET}


def spring_section(selection: Selection, choice: Choice) -> Iterator[Block]:
    """Load, exponents, aim, and the behaviours as found and at the target."""
    view = selection.spring
    yield Heading("What it does")
    yield Rows(
        (
            Row("load", spring.load_text(view.load, choice)),
            Row("aim", spring.aim_text(view.aim, choice)),
            Row("exponents", spring.exponents_text(view, choice)),
        )
    )
    if view.as_found or view.target:
        yield Paragraph("")
        yield _behaviour_table(selection, choice)
        yield Rows(
            tuple(
                Row(f"friction, {name}", spring.friction_text(friction, choice))
                for name, friction in (("as found", view.as_found_friction), ("target", view.target_friction))
                if friction is not None
            )
        )
        reading = "the pump's gauge" if selection.intake.sheet.coil is None else "the adjuster's turns"
        yield Paragraph(spring.doubts_meaning(view.sag_tells, choice, reading=reading), Tone.SOFT)


def _behaviour_table(selection: Selection, choice: Choice) -> Table:
    columns = (
        Column("", right=False),
        Column("as found"),
        Column("±"),
        Column("target"),
        Column("±"),
        Column("", right=False),
        Column("", right=False),
    )
    return Table(columns, tuple(_behaviour_line(term, selection, choice) for term in TERMS))


def _behaviour_line(term: Term, selection: Selection, choice: Choice) -> Line:
    view = selection.spring
    target = "" if view.target is None else quantities.in_column(term.of(view.target), term.quantity, choice)
    found = _over(term, view.as_found, choice)
    found_u = _doubt(term, view.as_found_u[0] if len(view.as_found_u) == 1 else None, choice)
    target_u = _doubt(term, view.target_u, choice)
    unit = choice.unit(term.quantity)
    return Line((term.name, found or "?", found_u, target or "–", target_u, unit, term.meaning))


def _doubt(term: Term, u: BehaviourU | None, choice: Choice) -> str:
    """A behaviour's standard uncertainty; empty where it is not known."""
    known: float | None = getattr(u, term.field, None)
    return "" if known is None else quantities.doubt_in_column(known, term.quantity, choice)


def _over(term: Term, behaviours: tuple[Behaviour, ...], choice: Choice) -> str:
    """A behaviour's number, or the range of it over several possibilities."""
    if not behaviours:
        return ""
    numbers = [term.of(behaviour) for behaviour in behaviours]
    low, high = (quantities.in_column(end, term.quantity, choice) for end in (min(numbers), max(numbers)))
    return low if low == high else f"{low}–{high}"


def candidates_section(selection: Selection, choice: Choice, *, shown: int) -> Iterator[Block]:
    """As found, the best candidates and the same pressure again, all under the same columns."""
    if not selection.candidates:
        return
    yield Heading("Candidates")
    headings = spring.candidate_headings(selection.intake.sheet, choice)
    columns = (Column("", right=False), *(Column(heading) for heading in headings), Column("", right=False))
    yield Table(columns, (*_as_found_lines(selection, choice), *_candidate_lines(selection, choice, shown)))
    left = len(selection.candidates) - shown
    if left > 0:
        yield Paragraph(f"{left} more, farther from the aim: --all shows them.", Tone.SOFT)
    if _alike(selection.candidates):
        yield Paragraph("All meet the aim alike: choose by what else they do.", Tone.SOFT)
    if known := spring.candidates_doubt(selection.candidates, selection.intake.sheet, choice):
        yield Paragraph(known, Tone.SOFT)
    yield Paragraph(spring.distance_meaning(selection.spring.noticeable, choice), Tone.SOFT)


def _alike(candidates: tuple[Candidate, ...]) -> bool:
    """Whether no row that may be chosen is nearer to the aim than another, as far as is shown."""
    return len({f"{one.distance:.1f}" for one in candidates if one.permitted}) == 1 < len(candidates)


def _as_found_lines(selection: Selection, choice: Choice) -> Iterator[Line]:
    """As found, where it is one build; where it may be several their range stands above."""
    if len(selection.spring.as_found) == 1:
        build, view, sheet = selection.intake.as_found.build, selection.spring, selection.intake.sheet
        cells = spring.as_found_cells(build, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        yield Line(("as found", *cells, ""), Tone.FOUND)


def _candidate_lines(selection: Selection, choice: Choice, shown: int) -> Iterator[Line]:
    for rank, candidate in enumerate(selection.candidates, start=1):
        if rank <= shown or candidate == selection.target or candidate.same_pressure:
            chosen = candidate == selection.target
            cells = spring.candidate_cells(candidate, selection.intake.sheet, choice)
            tone = Tone.TARGET if chosen else Tone.PLAIN
            yield Line((f"{rank:>2}", *cells, _remark(candidate, chosen=chosen)), tone)


def _remark(candidate: Candidate, *, chosen: bool) -> str:
    remarks = (
        ("target", chosen),
        ("same pressure" if candidate.preload is None else "stack as found", candidate.same_pressure),
        ("at the limit", candidate.at_limit),
        ("not permitted", not candidate.permitted),
    )
    return ", ".join(text for text, holds in remarks if holds)


def plan_document(plan: Plan, choice: Choice, *, all_candidates: bool = False) -> Document:
    """Everything a plan says."""
    selected = plan.selection
    about = (
        tasks_title(plan, choice) if selected is None else _selection(plan, selected, choice, all_shown=all_candidates)
    )
    return (
        *about,
        *progress_blocks(plan.work),
        *kit_section(plan.work, choice),
        *steps_section(plan, choice),
        *cautions_section(plan),
    )


def _selection(plan: Plan, selection: Selection, choice: Choice, *, all_shown: bool) -> Iterator[Block]:
    """How the target was selected, and what it changes."""
    yield from _title_section(plan.program, selection, choice)
    yield from _findings_section(plan, choice)
    yield from spring_section(selection, choice)
    yield from candidates_section(selection, choice, shown=len(selection.candidates) if all_shown else FIRST_SHOWN)
    yield from bike_section(selection, choice)
    yield from changes_section(plan.work, choice)


def _title_section(program: str, selection: Selection, choice: Choice) -> Iterator[Block]:
    intake = selection.intake
    sheet = intake.sheet
    serial = f"no. {intake.unit.serial}" if intake.unit.serial else "no serial number"
    yield Rows(
        (
            Row("plan", f"{intake.name}, by {program}"),
            Row("unit", f"{sheet.maker} {sheet.model}, chassis {intake.unit.chassis}, {serial}", Tone.STRONG),
            Row("sheet", f"{sheet.name}, revision {sheet.revision}, on {sheet.architecture}"),
            Row("as found", spring.build_text(intake.as_found.build, choice, sheet.coil), Tone.FOUND),
            Row("wish", spring.wish_text(intake.wish, choice), Tone.TARGET),
            *_tasks_row(selection, choice),
        )
    )


def _tasks_row(selection: Selection, choice: Choice) -> Iterator[Row]:
    if selection.intake.tasks:
        yield Row("tasks", ", ".join(task_text(task, choice) for task in selection.intake.tasks), Tone.TARGET)


def _findings_section(plan: Plan, choice: Choice) -> Iterator[Block]:
    yield Heading("Findings")
    yield findings_rows(plan.findings, choice)
    if plan.target is None:
        refused = REFUSED if plan.refused else NO_TARGET
        yield Paragraph(refused if plan.way_back is None else WAY_BACK, Tone.STRONG)


def write_side_view(selection: Selection, choice: Choice, path: str) -> None:
    """The bike as found and at the target, topped out, over each other.

    Raises
    ------
    MissingValue
        If nothing is known of the bike.
    """
    stances = () if selection.stance is None else selection.stance.topped_out
    if not stances:
        raise MissingValue("must be known to draw its side view", field="bike", remedy="Write bike into the intake.")
    shown = tuple(Shown(side.value, MEANINGS[side], stance) for side, stance in stances)
    _write(side_view(shown, choice=choice), path)


def write_cutaway(selection: Selection, choice: Choice, path: str) -> None:
    """The spring leg as found and at the target, beside each other.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    legs = insides(selection)
    if not legs:
        raise MissingValue("must be known to draw its spring leg", field="as_found", remedy="Open the unit first.")
    _write(cutaway([ShownLeg(side.value, MEANINGS[side], leg) for side, leg in legs], choice=choice), path)


def _write(drawing: str, path: str) -> None:
    pathlib.Path(path).write_text(standalone(drawing), "utf-8", newline="\n")
