"""What a plan says, ready to be shown: behaviours, candidates, changes, findings, the bike, drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from sagwright.domain.behaviour import BehaviourU
from sagwright.domain.build import Change
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Selection
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Side, Stance
from sagwright.domain.value import Quantity
from sagwright.phrases import findings, quantities, spring, stance
from sagwright.phrases.changes import change_text
from sagwright.phrases.spring_terms import TERMS, Term
from sagwright.units import Choice
from sagwright.web.drawings import bikes_of, cutaway_drawing, force_drawing, force_of, legs_of, side_drawing
from sagwright.web.plan.options import FAR, CandidateRow, candidate_rows, over

LARGE, SMALL = 640.0, 350.0  # px, the widths drawings are laid out for
EVERY: Final = 5  # points of a curve from one row of its table to the next


@dataclass(frozen=True, slots=True)
class BehaviourRow:
    """One behaviour: its name and meaning, as found and target with their doubts, and the unit."""

    name: str
    meaning: str
    found: str
    found_doubt: str
    target: str
    target_doubt: str
    unit: str


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One change inside: what, before and after, and a note."""

    what: str
    before: str
    after: str
    note: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding: its code, its severity, its sentence, and what it is about."""

    code: str
    severity: str
    sentence: str
    about: str


@dataclass(frozen=True, slots=True)
class StanceRow:
    """One number of the bike: as found, target, and the difference."""

    name: str
    found: str
    target: str
    difference: str


@dataclass(frozen=True, slots=True)
class Said:
    """A lead and what is said under it."""

    lead: str
    text: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """Everything a plan says.

    Attributes
    ----------
    verdict : str
        The target in one line, or that there is none and why.
    refused : bool
    behaviours : tuple of BehaviourRow
    facts : tuple of Said
        Load, aim, exponents, friction.
    doubts, distances : str
        What ± and "off by" stand for.
    headings : tuple of str
        Of the candidates.
    candidates, further : tuple of CandidateRow
        The nearest with what they are compared with, and the others.
    changes : tuple of ChangeRow
    findings : tuple of FindingRow
    counts : tuple of str
        How many findings of each severity.
    curve_large, curve_small, legs, bike : Markup
        Drawings; empty where they cannot be drawn.
    caption : str
        Of the curves.
    curve_headings : tuple of str
    curve_rows : tuple of tuple of str
        The curves as a table, a row for each tenth of travel.
    stance : tuple of StanceRow
    stance_note : str
    bike_notes : tuple of Said
        Who sits on it and what it carries; clearances; or what an outline lets one say.
    """

    verdict: str
    refused: bool
    behaviours: tuple[BehaviourRow, ...]
    facts: tuple[Said, ...]
    doubts: str
    distances: str
    headings: tuple[str, ...]
    candidates: tuple[CandidateRow, ...]
    further: tuple[CandidateRow, ...]
    changes: tuple[ChangeRow, ...]
    findings: tuple[FindingRow, ...]
    counts: tuple[str, ...]
    curve_large: Markup
    curve_small: Markup
    legs: Markup
    bike: Markup
    caption: str
    curve_headings: tuple[str, ...]
    curve_rows: tuple[tuple[str, ...], ...]
    stance: tuple[StanceRow, ...]
    stance_note: str
    bike_notes: tuple[Said, ...]


def outcome_of(selection: Selection, changes: tuple[Change, ...], choice: Choice) -> Outcome:
    """Everything that the selection of a target says, and what it changes, in the units asked for."""
    view = selection.spring
    force, legs, bikes = force_of(selection), legs_of(selection), bikes_of(selection)
    rows, nothing = tuple(candidate_rows(selection, choice)), Markup("")
    return Outcome(
        verdict=_verdict(selection, choice),
        refused=selection.target is None,
        behaviours=tuple(_behaviour(term, selection, choice) for term in TERMS) if view.as_found or view.target else (),
        facts=tuple(_facts(selection, choice)),
        doubts=spring.doubts_meaning(view.sag_tells, choice, reading=_reading(selection)),
        distances=_distances(selection, choice),
        headings=spring.candidate_headings(selection.intake.sheet, choice),
        candidates=tuple(row for row in rows if row.kind != FAR),
        further=tuple(row for row in rows if row.kind == FAR),
        changes=tuple(_changes(changes, selection.intake.sheet, choice)),
        findings=tuple(_finding(one, choice) for one in selection.findings),
        counts=tuple(_counts(selection)),
        curve_large=force_drawing(force, choice, LARGE, "curve") if force else nothing,
        curve_small=force_drawing(force, choice, SMALL, "curve-s") if force else nothing,
        legs=cutaway_drawing(legs, choice, "legs") if legs else nothing,
        bike=side_drawing(bikes, choice, SMALL, "bike") if bikes else nothing,
        caption=_caption(selection, choice),
        curve_headings=tuple(_curve_headings(selection, choice)),
        curve_rows=tuple(_curve_rows(selection, choice)),
        stance=tuple(_stance(selection, choice)),
        stance_note=_stance_note(selection, choice),
        bike_notes=tuple(_bike_notes(selection, choice)),
    )


def _verdict(selection: Selection, choice: Choice) -> str:
    target = selection.target
    if target is None:
        why = "This is refused as a target" if selection.refused else "Nothing that can be reached may be a target"
        return f"{why}: the findings say why."
    travel = quantities.number(target.travel, Quantity.LENGTH, choice)
    said = f"{travel} of travel; {spring.build_text(target.build, choice, selection.intake.sheet.coil)}"
    if target.pressure_u is None:
        return f"{said}."
    return f"{said}, ± {quantities.bare_difference(target.pressure_u, Quantity.PRESSURE, choice)}, topped out."


def _behaviour(term: Term, selection: Selection, choice: Choice) -> BehaviourRow:
    view = selection.spring
    found_u = view.as_found_u[0] if len(view.as_found_u) == 1 else None
    return BehaviourRow(
        name=term.name,
        meaning=term.meaning,
        found=over(term, view.as_found, choice) or "?",
        found_doubt=_doubt(term, found_u, choice),
        target="–" if view.target is None else quantities.in_column(term.of(view.target), term.quantity, choice),
        target_doubt=_doubt(term, view.target_u, choice),
        unit=choice.unit(term.quantity),
    )


def _reading(selection: Selection) -> str:
    return "the pump's gauge" if selection.intake.sheet.coil is None else "the adjuster's turns"


def _doubt(term: Term, u: BehaviourU | None, choice: Choice) -> str:
    known: float | None = getattr(u, term.field, None)
    return "" if known is None else f"± {quantities.doubt_in_column(known, term.quantity, choice)}"


def _distances(selection: Selection, choice: Choice) -> str:
    """What distances are counted in, after how well the columns beside them are known."""
    known = spring.candidates_doubt(selection.candidates, selection.intake.sheet, choice)
    return f"{known} {spring.distance_meaning(selection.spring.noticeable, choice)}".lstrip()


def _facts(selection: Selection, choice: Choice) -> Iterator[Said]:
    view = selection.spring
    yield Said("load", spring.load_text(view.load, choice))
    yield Said("aim", spring.aim_text(view.aim, choice))
    yield Said("exponents", spring.exponents_text(view, choice))
    for name, friction in (("as found", view.as_found_friction), ("target", view.target_friction)):
        if friction is not None:
            yield Said(f"friction, {name}", spring.friction_text(friction, choice))


def _changes(changes: tuple[Change, ...], sheet: Sheet, choice: Choice) -> Iterator[ChangeRow]:
    for change in changes:
        text = change_text(change, sheet, choice)
        yield ChangeRow(text.what, text.before, text.after, text.note)


def _finding(one: Finding, choice: Choice) -> FindingRow:
    return FindingRow(one.code, one.severity.value, findings.sentence(one, choice), one.field)


def _counts(selection: Selection) -> Iterator[str]:
    for severity, noun in ((Severity.REFUSE, "refusal"), (Severity.ASK, "question"), (Severity.NOTE, "note")):
        many = sum(one.severity is severity for one in selection.findings)
        if many:
            yield quantities.count(many, noun)


def asks(selection: Selection) -> tuple[Finding, ...]:
    """The findings that want an answer."""
    return tuple(one for one in selection.findings if one.severity is Severity.ASK)


def _caption(selection: Selection, choice: Choice) -> str:
    view = selection.spring
    stroke, slow = (f"{n:g}".replace(".", choice.decimal) for n in (view.stroke_exponent, view.slow_exponent))
    return f"thick: stroke at n = {stroke}, with one standard uncertainty; thin: slow, n = {slow}, with its sag"


def _curve_headings(selection: Selection, choice: Choice) -> Iterator[str]:
    view = selection.spring
    length, force = choice.unit(Quantity.LENGTH), choice.unit(Quantity.FORCE)
    yield "of travel"
    for name, curve in (("as found", view.as_found_curve), ("target", view.target_curve)):
        if curve is not None:
            yield from (f"{name}\n{length}", f"slow\n{force}", f"stroke\n{force}")


def _curve_rows(selection: Selection, choice: Choice) -> Iterator[tuple[str, ...]]:
    curves = [one for one in (selection.spring.as_found_curve, selection.spring.target_curve) if one is not None]
    if not curves:
        return
    points = len(curves[0].compression)
    for place in range(0, points, EVERY):
        cells = [f"{100 * place // (points - 1)} %"]
        for curve in curves:
            cells.append(quantities.bare(curve.compression[place], Quantity.LENGTH, choice))
            forces = (curve.slow_force[place], curve.stroke_force[place])
            cells += [quantities.in_column(force, Quantity.FORCE, choice) for force in forces]
        yield tuple(cells)


# The bike


def _stance(selection: Selection, choice: Choice) -> Iterator[StanceRow]:
    """At sag where that is known, else topped out."""
    view = selection.stance
    if view is None or not view.topped_out:
        return
    block: dict[Side, Stance] = dict(view.sagged) or dict(view.topped_out)
    found, target = block.get(Side.AS_FOUND), block.get(Side.TARGET)
    for term in (stance.FORK, *stance.TERMS):
        cells = ["" if one is None else stance.value_of(term, one, choice) for one in (found, target)]
        change = (
            ""
            if found is None or target is None
            else stance.change(stance.difference_of(term, found, target), term.quantity, choice)
        )
        yield StanceRow(term.name, cells[0], cells[1], change)


def _stance_note(selection: Selection, choice: Choice) -> str:
    view = selection.stance
    if view is None or not view.topped_out:
        return ""
    return stance.sagged_meaning(view, choice) if view.sagged else "Topped out."


def _bike_notes(selection: Selection, choice: Choice) -> Iterator[Said]:
    view = selection.stance
    if view is None:
        return
    if view.outline is not None:
        yield from (Said(*line) for line in stance.outline_lines(view.outline, choice))
    yield from (Said(stance.sat_lead(one), stance.sat_text(one, choice)) for one in view.sat)
    yield from (Said(*line) for line in stance.clearance_lines(view.clearances, choice))
