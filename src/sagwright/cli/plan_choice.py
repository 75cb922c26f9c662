"""What the spring does, and the candidates to choose from."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.cli.document import Block, Column, Heading, Line, Paragraph, Row, Rows, Table, Tone
from sagwright.domain.behaviour import Behaviour, BehaviourU, Candidate
from sagwright.domain.plan import Plan
from sagwright.phrases import quantities, spring
from sagwright.phrases.spring_terms import TERMS, Term
from sagwright.units import Choice


def spring_section(plan: Plan, choice: Choice) -> Iterator[Block]:
    """Load, exponents, aim, and the behaviours as found and at the target."""
    view = plan.spring
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
        yield _behaviour_table(plan, choice)
        yield Rows(
            tuple(
                Row(f"friction, {name}", spring.friction_text(friction, choice))
                for name, friction in (("as found", view.as_found_friction), ("target", view.target_friction))
                if friction is not None
            )
        )
        reading = "the pump's gauge" if plan.intake.sheet.coil is None else "the adjuster's turns"
        yield Paragraph(spring.doubts_meaning(view.sag_tells, choice, reading=reading), Tone.SOFT)


def _behaviour_table(plan: Plan, choice: Choice) -> Table:
    columns = (
        Column("", right=False),
        Column("as found"),
        Column("±"),
        Column("target"),
        Column("±"),
        Column("", right=False),
        Column("", right=False),
    )
    return Table(columns, tuple(_behaviour_line(term, plan, choice) for term in TERMS))


def _behaviour_line(term: Term, plan: Plan, choice: Choice) -> Line:
    view = plan.spring
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


def candidates_section(plan: Plan, choice: Choice, *, shown: int) -> Iterator[Block]:
    """As found, the best candidates and the same pressure again, all under the same columns."""
    if not plan.candidates:
        return
    yield Heading("Candidates")
    headings = spring.candidate_headings(plan.intake.sheet, choice)
    columns = (Column("", right=False), *(Column(heading) for heading in headings), Column("", right=False))
    yield Table(columns, (*_as_found_lines(plan, choice), *_candidate_lines(plan, choice, shown)))
    left = len(plan.candidates) - shown
    if left > 0:
        yield Paragraph(f"{left} more, farther from the aim: --all shows them.", Tone.SOFT)
    if _alike(plan.candidates):
        yield Paragraph("All meet the aim alike: choose by what else they do.", Tone.SOFT)
    if known := spring.candidates_doubt(plan.candidates, plan.intake.sheet, choice):
        yield Paragraph(known, Tone.SOFT)
    yield Paragraph(spring.distance_meaning(plan.spring.noticeable, choice), Tone.SOFT)


def _alike(candidates: tuple[Candidate, ...]) -> bool:
    """Whether no row that may be chosen is nearer to the aim than another, as far as is shown."""
    return len({f"{one.distance:.1f}" for one in candidates if one.permitted}) == 1 < len(candidates)


def _as_found_lines(plan: Plan, choice: Choice) -> Iterator[Line]:
    """As found, where it is one build; where it may be several their range stands above."""
    if len(plan.spring.as_found) == 1:
        build, view, sheet = plan.intake.as_found.build, plan.spring, plan.intake.sheet
        cells = spring.as_found_cells(build, view.as_found[0], sheet, choice, preload=view.as_found_preload)
        yield Line(("as found", *cells, ""), Tone.FOUND)


def _candidate_lines(plan: Plan, choice: Choice, shown: int) -> Iterator[Line]:
    for rank, candidate in enumerate(plan.candidates, start=1):
        if rank <= shown or candidate == plan.target or candidate.same_pressure:
            chosen = candidate == plan.target
            cells = spring.candidate_cells(candidate, plan.intake.sheet, choice)
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
