"""Work as blocks of a document: what changes inside, tools and parts, steps, cautions, and how far it has come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from sagwright.cli.terminal.document import (
    Banner,
    Block,
    Heading,
    Paragraph,
    TextColumn,
    TextLine,
    TextRow,
    TextRows,
    TextTable,
    Tone,
)
from sagwright.domain.item import Act, Caution, Signal
from sagwright.domain.plan import Plan
from sagwright.domain.step import Step, Supply
from sagwright.domain.work import Work
from sagwright.phrases.plan_rows import change_rows
from sagwright.phrases.quantities import count_text
from sagwright.phrases.steps import VERDICTS, StepText, step_text, times_text
from sagwright.phrases.tools_and_parts import order_text, supply_text, task_text, tools_and_parts_by_kind
from sagwright.service.plan import REASONS
from sagwright.units import UnitChoice

SIGNALS = {
    Signal.DANGER: Tone.DANGER,
    Signal.WARNING: Tone.WARNING,
    Signal.CAUTION: Tone.CAUTION,
    Signal.NOTICE: Tone.NOTICE,
}
PLAIN = frozenset({"absent", "covered", "uncovered", "extra-order"})
"""Rules that only say how the parts lie over each other."""

REPEATED = "readings-first"
"""The rule that nearly every step has; it is shown only where nothing else that the step waits for implies it."""

STEP_INDENT = 4
STEP_LEADS = len("pressure")

HOLD_POINT_SHUT: Final = (
    "the hold point does not pass; open nothing more, least of all what holds gas in, and send it out"
)
TAGGED: Final = 'Until that is decided it carries the tag "not rideable".'
RESTED: Final = 'After a break: check pressure and torques again first. The unit carries the tag "not rideable".'


def changes_section(work: Work, choice: UnitChoice) -> Iterator[Block]:
    """What changes inside, before and after."""
    if not work.changes:
        return
    blank = TextColumn("", right=False)
    rows = change_rows(work.changes, work.sheet, choice)
    lines = tuple(TextLine((text.what, text.before, "→", text.after, text.note)) for text in rows)
    yield Heading("What changes inside")
    yield TextTable((blank, TextColumn("as found"), TextColumn(""), TextColumn("target"), blank), lines)


def supplies_section(work: Work, choice: UnitChoice) -> Iterator[Block]:
    """Everything to have at hand, by kind, with the steps that use it."""
    if not work.tools_and_parts:
        return
    numbers = {step.key: number for number, step in enumerate(work.steps, start=1)}
    yield Heading("Tools and parts")
    rows = (
        TextRow("" if place else name, supply_text(line, choice) + _used_in(line, numbers))
        for name, lines in tools_and_parts_by_kind(work.tools_and_parts)
        for place, line in enumerate(lines)
    )
    yield TextRows(tuple(rows))


def _used_in(line: Supply, numbers: dict[str, int]) -> str:
    used = [str(numbers[key]) for key in line.steps]
    if not used:
        return ""
    return f" – step{'s' if len(used) > 1 else ''} {', '.join(used)}"


def steps_section(plan: Plan, choice: UnitChoice) -> Iterator[Block]:
    """The steps in order; a change of position stands before the first step that needs it."""
    work = plan.work
    if not work.steps:
        return
    yield Heading("Steps")
    yield from order_paragraphs(work, choice)
    yield Paragraph("At a hold point, record every reading within its limits before going on.", Tone.SOFT)
    numbers = {step.key: number for number, step in enumerate(work.steps, start=1)}
    earlier = _earlier((*work.done, *work.steps))
    position = ""
    for number, step in enumerate(work.steps, start=1):
        if step.position != position:
            position = step.position
            yield Paragraph("")
            yield Paragraph(f"Position: {position}", Tone.STRONG)
        held = (*_for(plan, step, choice), *_held_by(step, earlier, numbers))
        yield from _step_blocks(number, step_text(step, work.sheet, choice), held)
    yield from _rules_section(work.steps)


def _for(plan: Plan, step: Step, choice: UnitChoice) -> Iterator[TextRow]:
    """The tasks beside the wish that alone need a step."""
    beside = () if plan.selection is None else plan.selection.intake.tasks
    if beside:
        tasks = dict(plan.work.needed_by).get(step.key, ())
        if tasks and all(task in beside for task in tasks):
            yield TextRow("for", ", ".join(task_text(task, choice) for task in tasks))


def _held_by(step: Step, earlier: dict[str, set[str]], numbers: dict[str, int]) -> tuple[TextRow, ...]:
    """The interlocks that hold a step, each with the steps it waits for."""
    implied = {key for need in step.needs for key in earlier.get(need.step, ())}
    waits: dict[str, list[str]] = {}
    for need in step.needs:
        if need.rule not in PLAIN and not (need.rule == REPEATED and need.step in implied):
            waits.setdefault(need.rule, []).append(str(numbers.get(need.step, "done")))
    text = "; ".join(f"{', '.join(dict.fromkeys(steps))} ({rule})" for rule, steps in waits.items())
    rules = (TextRow("rule", ", ".join(step.rules)),) if step.rules else ()
    return (*((TextRow("after", text),) if text else ()), *rules)


def _earlier(steps: Iterable[Step]) -> dict[str, set[str]]:
    """For each step, in their order, the keys of all that it waits for, at first or second hand."""
    earlier: dict[str, set[str]] = {}
    for step in steps:
        waits = {need.step for need in step.needs}
        earlier[step.key] = waits.union(*(earlier.get(key, set()) for key in waits))
    return earlier


def _rules_section(steps: tuple[Step, ...]) -> Iterator[Block]:
    """What the interlocks named in the steps are for."""
    named = {rule for step in steps for rule in (*step.rules, *(need.rule for need in step.needs))}
    used = [rule for rule in REASONS if rule in named]
    rows = tuple(TextRow(rule, REASONS[rule]) for rule in used if rule not in PLAIN)
    if rows:
        yield Heading("Why this order")
        yield TextRows(rows)


def order_paragraphs(work: Work, choice: UnitChoice) -> Iterator[Block]:
    """How long the steps take, and how good their order is."""
    yield Paragraph(f"{count_text(len(work.steps), 'step')}, {times_text(work.steps, choice)}.")
    if work.sequence is not None:
        yield Paragraph(order_text(work.sequence, choice))


def _step_blocks(number: int, text: StepText, held_by: tuple[TextRow, ...]) -> Iterator[Block]:
    mark = "hold point" if text.hold_point else ""
    yield Banner(f"{number:>2}", text.title, mark, f"{text.minutes:>7}")
    lines = (TextRow(line.label, line.text) for line in text.lines)
    yield TextRows((*caution_rows(text.cautions), *held_by, *lines), indent=STEP_INDENT, lead_width=STEP_LEADS)


def caution_rows(cautions: tuple[Caution, ...]) -> Iterator[TextRow]:
    return (TextRow(caution.signal, caution.text, SIGNALS[caution.signal]) for caution in cautions)


def cautions_section(plan: Plan) -> Iterator[Block]:
    """What holds for the whole work."""
    yield Heading("Before you rely on this")
    yield TextRows(tuple(caution_rows(plan.cautions)), lead_width=STEP_LEADS)


def progress_blocks(work: Work) -> Iterator[Block]:
    """What was done, what must still have waited, and what ends the work."""
    if work.done:
        yield Paragraph(f"Done: {', '.join(step.key for step in work.done)}.", Tone.SOFT)
    if any(step.act is Act.BREAK for step in work.done) and not work.stops:
        yield Paragraph(RESTED, Tone.STRONG)
    for step in work.done:
        held = [later.key for later in work.steps if step.key in {need.step for need in later.needs}]
        if step.waiting and held:
            yield Paragraph(f"The waiting after {step.key} must be over before {', '.join(held)}.", Tone.STRONG)
    for stop in work.stops:
        verdict = VERDICTS[stop.verdict] if stop.verdict else HOLD_POINT_SHUT
        yield Paragraph(f"Stop. Not as it must be: {stop.what} What follows: {verdict}. {TAGGED}", Tone.STRONG)
