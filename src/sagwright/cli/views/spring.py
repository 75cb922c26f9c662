"""Coils for a sag, and the signs of usual mistakes, as documents."""

from __future__ import annotations

import math
from collections.abc import Iterator

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
from sagwright.cli.views.numbers import Limits, limited
from sagwright.domain.coil_spring import CoilAnswer, CoilChoice, CoilQuestion
from sagwright.domain.diagnosis import Diagnosis, Explanation, Signs
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity
from sagwright.errors import WrongUnit
from sagwright.phrases import quantities
from sagwright.phrases.diagnosis import SHOWS, mistake_text
from sagwright.units import UnitChoice, show_value

_LOAD = Limits(1.0, 20_000.0, "must be a force from 1 to 20000 N")
TRAVEL = Limits(0.01, 0.4, "must be a travel from 10 to 400 mm")
LENGTH = Limits(0.0, 0.2, "must be a length from 0 to 200 mm")
SHARE = Limits(0.01, 0.6, "must be from 1 to 60 % of travel")

MEANING = (
    "Slow forces, and the stroke's force at 95 % of travel; friction left out. Leaks are examples, of a seal that lets "
    "1 mm³ a second pass. What tells them apart is common practice, no source. Nothing here shows a fork empty."
)
COLUMNS = (
    ("travel", "travel", Quantity.LENGTH),
    ("exposed", "ex-\nposed", Quantity.LENGTH),
    ("top_out_force", "off the\ntop", Quantity.FORCE),
    ("sag", "sag", Quantity.LENGTH),
    ("end", "at\n95 %", Quantity.FORCE),
    ("valve_gauge", "gauge", Quantity.PRESSURE),
    ("cycled_gauge", "after\ncycling", Quantity.PRESSURE),
)


def coil_question_of(written: dict[str, str], choice: UnitChoice) -> CoilQuestion:
    """The question that a command line asks.

    Raises
    ------
    InputError
        Naming the option that cannot be.
    """
    load = limited("--load", written["load"], "force", choice, limits=_LOAD) or 0.0
    travel = limited("--travel", written["travel"], "length", choice, limits=TRAVEL) or 0.0
    low = limited("--least-preload", written["least_preload"], "length", choice, limits=LENGTH) or 0.0
    high = limited("--most-preload", written["most_preload"], "length", choice, limits=LENGTH) or 0.0
    shorten = limited("--shorten", written["shorten"], "length", choice, limits=LENGTH) or 0.0
    Limits(low, math.inf, "must be at least the least preload").hold("--most-preload", high, written["most_preload"])
    Limits(0.0, travel - 0.01, "must leave 10 mm of travel").hold("--shorten", shorten, written["shorten"])
    return CoilQuestion(load, _sag(written["sag"], travel - shorten, choice), travel, (low, high), shorten)


def _sag(text: str, travel: float, choice: UnitChoice) -> float:
    """A share of travel, or a length."""
    if "%" in text:
        return (limited("--sag", text, "fraction", choice, limits=SHARE) or 0.0) * travel
    try:
        return limited("--sag", text, "length", choice, limits=LENGTH) or 0.0
    except WrongUnit as error:
        raise WrongUnit(
            "must be a share of travel or a length, like 20 % or 28 mm", field="--sag", value=text
        ) from error


def coil_document(answer: CoilAnswer, choice: UnitChoice) -> TextDocument:
    """The answer for a terminal or a pipe."""
    return tuple(_coil_blocks(answer, choice))


def _coil_blocks(answer: CoilAnswer, choice: UnitChoice) -> Iterator[Block]:
    question = answer.question
    length, number = Quantity.LENGTH, quantities.number_text
    low, high = (number(end, length, choice) for end in question.preload)
    yield TextRows(
        (
            TextRow("load", number(question.load, Quantity.FORCE, choice)),
            TextRow("travel", number(answer.travel, length, choice) + _shortened(question, choice)),
            TextRow("wanted", f"{number(question.sag, length, choice)} of sag with {low} to {high} of preload"),
        )
    )
    yield Heading("Coils, nearest first")
    yield _table(answer, choice)
    for one in answer.choices:
        yield from _remarks(one, answer, choice)
    yield Paragraph("Rates as printed can be 5 % off; press the coil and weigh it. The maker's manual wins.", Tone.SOFT)


def _shortened(question: CoilQuestion, choice: UnitChoice) -> str:
    if not question.shorten:
        return ""
    taken = quantities.number_text(question.shorten, Quantity.LENGTH, choice)
    return f", {taken} shorter by spacers under the top-out; take the same length out of the preload stack"


def _table(answer: CoilAnswer, choice: UnitChoice) -> TextTable:
    heads = (
        ("rate", Quantity.RATE),
        ("preload", Quantity.LENGTH),
        ("sag", Quantity.LENGTH),
        ("topped\nout", Quantity.FORCE),
        ("full\ntravel", Quantity.FORCE),
    )
    columns = (TextColumn("", right=False), *(TextColumn(f"{head}\n{choice.unit(q)}") for head, q in heads))
    lines = (
        TextLine(_coil_cells(one, heads, choice), Tone.TARGET if i == 0 else Tone.PLAIN) for i, one in _counted(answer)
    )
    return TextTable(columns, tuple(lines))


def _counted(answer: CoilAnswer) -> Iterator[tuple[int, CoilChoice]]:
    yield from enumerate(answer.choices)


def _coil_cells(one: CoilChoice, heads: tuple[tuple[str, Quantity], ...], choice: UnitChoice) -> tuple[str, ...]:
    numbers = (one.rate.value, one.preload, one.sag.value, one.topped_out, one.full_travel)
    cells = (quantities.in_column(n, quantity, choice) for n, (_, quantity) in zip(numbers, heads, strict=True))
    return (one.coil.name, *cells)


def _remarks(one: CoilChoice, answer: CoilAnswer, choice: UnitChoice) -> Iterator[Block]:
    """What follows from how a coil is made."""
    if one.reserve is None or one.stress is None:
        return
    length = Quantity.LENGTH
    left = quantities.number_text(abs(one.reserve), length, choice)
    rows = [TextRow("solid", f"goes solid {left} before full travel: do not fit it" if one.bound else f"{left} left")]
    if one.gaps is not None and 0 <= one.reserve < one.gaps:
        gaps = quantities.number_text(one.gaps, length, choice)
        rows.append(
            TextRow("gaps", f"less than the {gaps} that should stay between its turns (EN 13906-1, from memory)")
        )
    share = "" if one.yield_ratio is None else f", {one.yield_ratio * 100:.0f} % of where it takes a set"
    rows.append(TextRow("stress", f"{show_value(one.stress, 'MPa', digits=0)} at full travel{share}"))
    deep = one.preload + answer.travel
    if one.buckles_at is not None and one.buckles_at <= deep:
        rows.append(
            TextRow("buckles", f"at {quantities.number_text(one.buckles_at, length, choice)} unless it is guided")
        )
    yield Heading(one.coil.name)
    yield TextRows(tuple(rows))


def mistakes_document(sheet: Sheet, diagnosis: Diagnosis, choice: UnitChoice) -> TextDocument:
    """Every mistake beside how it should be."""
    return tuple(_mistake_blocks(sheet, diagnosis, choice))


def _mistake_blocks(sheet: Sheet, diagnosis: Diagnosis, choice: UnitChoice) -> Iterator[Block]:
    yield TextRows((TextRow("sheet", f"{sheet.maker} {sheet.model}, {sheet.name}, revision {sheet.revision}"),))
    heads = (TextColumn(f"{head}\n{choice.unit(quantity)}") for _, head, quantity in COLUMNS)
    lines = tuple(
        TextLine((mistake_text(one.mistake, choice), *_mistake_cells(one.signs, choice)), _tone(one))
        for one in diagnosis.explanations
    )
    yield Heading("How mistakes show")
    yield TextTable((TextColumn("", right=False), *heads), lines)
    yield Heading("What tells them apart")
    yield TextRows(
        tuple(
            TextRow(mistake_text(one.mistake, choice), SHOWS[one.mistake.kind] + _later(one.signs, choice))
            for one in diagnosis.explanations
            if one.mistake is not None
        )
    )
    yield Paragraph(MEANING, Tone.SOFT)


def _tone(one: Explanation) -> Tone:
    return Tone.TARGET if one.mistake is None else Tone.PLAIN


def _mistake_cells(signs: Signs, choice: UnitChoice) -> Iterator[str]:
    for field, _, quantity in COLUMNS:
        yield quantities.in_column(getattr(signs, field), quantity, choice)


def _later(signs: Signs, choice: UnitChoice) -> str:
    """Where it is, and what the gauge reads, over time."""
    if not signs.over_time:
        return ""
    texts = (
        f"{moment.time / 3600.0:g} h: {quantities.number_text(moment.compression, Quantity.LENGTH, choice)} at "
        f"{quantities.number_text(moment.valve_gauge, Quantity.PRESSURE, choice)}"
        for moment in signs.over_time
    )
    return f" (under its load after {'; '.join(texts)})"
