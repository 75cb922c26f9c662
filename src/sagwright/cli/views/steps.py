"""The work of several tasks as a document: its title, on one page, or one step's reasons."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sagwright.cli.terminal.document import Banner, Block, Heading, Paragraph, TextDocument, TextRow, TextRows, Tone
from sagwright.cli.views.work import (
    STEP_INDENT,
    STEP_LEADS,
    cautions_section,
    order_paragraphs,
    progress_blocks,
)
from sagwright.domain.plan import Plan
from sagwright.domain.step import Step
from sagwright.domain.work import Work
from sagwright.errors import OutOfRange
from sagwright.phrases import spring
from sagwright.phrases.steps import step_text, title
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.plan import REASONS
from sagwright.units import UnitChoice

ESSENTIAL: Final = frozenset({"set", "pressure", "new", "torque", "fluid", "record", "wait", "first"})
"""Lines that experienced hands still need."""


def one_page(plan: Plan, choice: UnitChoice) -> TextDocument:
    """Only steps with a torque, a fill, a setting, a new part or a hold point, and only those lines of them."""
    work = plan.work
    return (
        plan_title(plan, choice),
        *progress_blocks(work),
        Heading("Steps"),
        *order_paragraphs(work, choice),
        *_essentials(work, choice),
        *cautions_section(plan),
    )


def _essentials(work: Work, choice: UnitChoice) -> Iterator[Block]:
    for number, step in enumerate(work.steps, start=1):
        text = step_text(step, work.sheet, choice)
        lines = tuple(TextRow(line.label, line.text) for line in text.lines if line.label in ESSENTIAL)
        if lines or text.hold_point:
            yield Banner(f"{number:>2}", text.title, "hold point" if text.hold_point else "", "")
            yield TextRows(lines, indent=STEP_INDENT, lead_width=STEP_LEADS)


def why_document(work: Work, asked: str, choice: UnitChoice) -> TextDocument:
    """Which tasks need a step, what it waits for by which rule, and what waits for it.

    Raises
    ------
    OutOfRange
        If there is no such step.
    """
    step = _asked(work, asked)
    tasks = ", ".join(task_text(task, choice) for task in dict(work.needed_by)[step.key])
    return (
        Paragraph(f"{step.key}: {title(step, work.sheet)}", Tone.STRONG),
        Paragraph(f"Needed by: {tasks}." if tasks else "Needed only by the tasks together."),
        Heading("Waits for"),
        *_needs(work, step),
        Heading("What waits for it"),
        *_followers(work, step),
    )


def _needs(work: Work, step: Step) -> Iterator[Block]:
    if not step.needs:
        yield Paragraph("Nothing.")
    for rule in dict.fromkeys(need.rule for need in step.needs):
        yield TextRows(
            tuple(TextRow(rule, _named(work, need.step)) for need in step.needs if need.rule == rule), lead_width=21
        )
        yield Paragraph(REASONS[rule], Tone.SOFT)


def _followers(work: Work, step: Step) -> Iterator[Block]:
    rows = tuple(
        TextRow(need.rule, _named(work, later.key))
        for later in work.steps
        for need in later.needs
        if need.step == step.key
    )
    yield TextRows(rows, lead_width=21) if rows else Paragraph("Nothing.")


def _named(work: Work, key: str) -> str:
    done = next((step for step in work.done if step.key == key), None)
    if done is not None:
        return f"done: {key}: {title(done, work.sheet)}"
    number, step = next((n, s) for n, s in enumerate(work.steps, start=1) if s.key == key)
    return f"step {number}, {key}: {title(step, work.sheet)}"


def _asked(work: Work, asked: str) -> Step:
    by_name = {step.key: step for step in work.steps}
    by_name |= {str(number): step for number, step in enumerate(work.steps, start=1)}
    if asked not in by_name:
        remedy = f"Give a number from 1 to {len(work.steps)}, or a key like {work.steps[0].key}."
        raise OutOfRange("must be a step of the sequence", value=asked, field="--why", remedy=remedy)
    return by_name[asked]


def plan_title(plan: Plan, choice: UnitChoice) -> TextRows:
    """What a plan is for, or a sequence of tasks alone."""
    return TextRows(tuple(_title_rows(plan, choice)))


def _title_rows(plan: Plan, choice: UnitChoice) -> Iterator[TextRow]:
    work, sheet, intake = plan.work, plan.work.sheet, None if plan.selection is None else plan.selection.intake
    yield (
        TextRow("sequence", f"by {plan.program}")
        if intake is None
        else TextRow("plan", f"{intake.name}, by {plan.program}")
    )
    unit = [f"{sheet.maker} {sheet.model}", f"chassis {work.chassis}" if work.chassis else "any chassis"]
    if intake is not None:
        unit.append(f"no. {intake.unit.serial}" if intake.unit.serial else "no serial number")
    yield TextRow("unit", ", ".join(unit), Tone.STRONG)
    yield TextRow("sheet", f"{sheet.name}, revision {sheet.revision}, on {sheet.base}")
    if intake is not None:
        yield TextRow("as found", spring.setup_text(intake.as_found.setup, choice, sheet), Tone.FOUND)
        yield TextRow("wish", spring.wish_line(intake.wish, choice), Tone.TARGET)
    if tasks := work.tasks if intake is None else intake.tasks:
        yield TextRow("tasks", ", ".join(task_text(task, choice) for task in tasks), Tone.TARGET)
