"""A plan as a document, its sections in the order in which the work goes."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.cli.document import Block, Document, Heading, Paragraph, Row, Rows, Tone
from sagwright.cli.findings_page import findings_rows
from sagwright.cli.plan_choice import candidates_section, spring_section
from sagwright.cli.plan_work import cautions_section, changes_section, kit_section, steps_section
from sagwright.cli.progress_page import progress_blocks
from sagwright.cli.stance_page import bike_section
from sagwright.domain.plan import Plan
from sagwright.phrases import spring
from sagwright.phrases.tools_and_parts import task_text
from sagwright.units import Choice

FIRST_SHOWN = 8  # candidates, unless all are asked for
REFUSED = "Refused as wished: there is no target, and so no steps, until that is put right."
NO_TARGET = "Nothing that can be reached may be a target, so there are no steps: change what the wish pins."

WAY_BACK = "What was found makes the wish impossible: the steps below only close the unit safely again."


def plan_document(plan: Plan, choice: Choice, *, all_candidates: bool = False) -> Document:
    """Everything a plan says."""
    shown = len(plan.candidates) if all_candidates else FIRST_SHOWN
    return (
        *_title_section(plan, choice),
        *_findings_section(plan, choice),
        *spring_section(plan, choice),
        *candidates_section(plan, choice, shown=shown),
        *bike_section(plan, choice),
        *changes_section(plan, choice),
        *progress_blocks(plan),
        *kit_section(plan, choice),
        *steps_section(plan, choice),
        *cautions_section(plan),
    )


def _title_section(plan: Plan, choice: Choice) -> Iterator[Block]:
    intake = plan.intake
    sheet = intake.sheet
    serial = f"no. {intake.unit.serial}" if intake.unit.serial else "no serial number"
    yield Rows(
        (
            Row("plan", f"{intake.name}, by {plan.program}"),
            Row("unit", f"{sheet.maker} {sheet.model}, chassis {intake.unit.chassis}, {serial}", Tone.STRONG),
            Row("sheet", f"{sheet.name}, revision {sheet.revision}, on {sheet.architecture}"),
            Row("as found", spring.build_text(intake.as_found.build, choice, sheet.coil), Tone.FOUND),
            Row("wish", spring.wish_text(intake.wish, choice), Tone.TARGET),
            *_tasks_row(plan, choice),
        )
    )


def _tasks_row(plan: Plan, choice: Choice) -> Iterator[Row]:
    if plan.intake.tasks:
        yield Row("tasks", ", ".join(task_text(task, choice) for task in plan.intake.tasks), Tone.TARGET)


def _findings_section(plan: Plan, choice: Choice) -> Iterator[Block]:
    yield Heading("Findings")
    yield findings_rows(plan.findings, choice)
    if plan.target is None:
        refused = REFUSED if plan.refused else NO_TARGET
        yield Paragraph(refused if plan.way_back is None else WAY_BACK, Tone.STRONG)
