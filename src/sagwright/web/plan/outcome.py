"""What a plan says, ready to be shown: behaviours, options, changes, findings, the bike, drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from sagwright.domain.behaviour import BehaviourU
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Plan
from sagwright.domain.stance import Side, Stance
from sagwright.domain.value import Quantity
from sagwright.phrases import findings, quantities, spring, stance
from sagwright.phrases.changes import change_text
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS, BehaviourTerm
from sagwright.units import UnitChoice
from sagwright.web.drawings import bikes_of, cutaway_drawing, force_drawing, force_of, legs_of, side_drawing
from sagwright.web.plan.options import FAR, OptionRow, option_rows, option_title

LARGE, SMALL = 640.0, 350.0  # px, the widths drawings are laid out for
EVERY: Final = 5  # points of a curve from one row of its table to the next


@dataclass(frozen=True, slots=True)
class BehaviourRow:
    """One behaviour: its name and meaning, as found and target with their uncertainties, and the unit."""

    name: str
    meaning: str
    found: str
    found_uncertainty: str
    target: str
    target_uncertainty: str
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
class OutcomeLine:
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
    uncertainties, distances : str
        What ± and "mismatch" stand for.
    headings : tuple of str
        Of the options.
    options, further : tuple of OptionRow
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
    facts: tuple[OutcomeLine, ...]
    uncertainties: str
    distances: str
    headings: tuple[str, ...]
    options: tuple[OptionRow, ...]
    further: tuple[OptionRow, ...]
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
    bike_notes: tuple[OutcomeLine, ...]


def outcome_of(plan: Plan, choice: UnitChoice) -> Outcome:
    """Everything a plan says, in the units asked for."""
    view = plan.spring
    force, legs, bikes = force_of(plan), legs_of(plan), bikes_of(plan)
    rows, nothing = tuple(option_rows(plan, choice)), Markup("")
    return Outcome(
        verdict=_verdict(plan, choice),
        refused=plan.target is None,
        behaviours=tuple(_behaviour(term, plan, choice) for term in BEHAVIOUR_TERMS)
        if view.as_found or view.target
        else (),
        facts=tuple(_facts(plan, choice)),
        uncertainties=spring.uncertainties_meaning(view.sag_tells, choice, reading=_reading(plan)),
        distances=_distances(plan, choice),
        headings=spring.option_headings(plan.intake.sheet, choice),
        options=tuple(row for row in rows if row.kind != FAR),
        further=tuple(row for row in rows if row.kind == FAR),
        changes=tuple(_changes(plan, choice)),
        findings=tuple(_finding(one, choice) for one in plan.findings),
        counts=tuple(_counts(plan)),
        curve_large=force_drawing(force, choice, LARGE, "curve") if force else nothing,
        curve_small=force_drawing(force, choice, SMALL, "curve-s") if force else nothing,
        legs=cutaway_drawing(legs, choice, "legs") if legs else nothing,
        bike=side_drawing(bikes, choice, SMALL, "bike") if bikes else nothing,
        caption=_caption(plan, choice),
        curve_headings=tuple(_curve_headings(plan, choice)),
        curve_rows=tuple(_curve_rows(plan, choice)),
        stance=tuple(_stance(plan, choice)),
        stance_note=_stance_note(plan, choice),
        bike_notes=tuple(_bike_notes(plan, choice)),
    )


def _verdict(plan: Plan, choice: UnitChoice) -> str:
    target = plan.target
    if target is None:
        why = "This is refused as a target" if plan.refused else "Nothing that can be reached may be a target"
        return f"{why}: the findings say why."
    travel = quantities.number_text(target.travel, Quantity.LENGTH, choice)
    said = f"{travel} of travel; {spring.setup_text(target.setup, choice, plan.intake.sheet.coil)}"
    if target.pressure_u is None:
        return f"{said}."
    return f"{said}, ± {quantities.bare_difference(target.pressure_u, Quantity.PRESSURE, choice)}, topped out."


def _behaviour(term: BehaviourTerm, plan: Plan, choice: UnitChoice) -> BehaviourRow:
    view = plan.spring
    found_u = view.as_found_u[0] if len(view.as_found_u) == 1 else None
    return BehaviourRow(
        name=term.name,
        meaning=term.meaning,
        found=option_title(term, view.as_found, choice) or "?",
        found_uncertainty=_uncertainty(term, found_u, choice),
        target="–" if view.target is None else quantities.in_column(term.of(view.target), term.quantity, choice),
        target_uncertainty=_uncertainty(term, view.target_u, choice),
        unit=choice.unit(term.quantity),
    )


def _reading(plan: Plan) -> str:
    return "the pump's gauge" if plan.intake.sheet.coil is None else "the adjuster's turns"


def _uncertainty(term: BehaviourTerm, u: BehaviourU | None, choice: UnitChoice) -> str:
    known: float | None = getattr(u, term.field, None)
    return "" if known is None else f"± {quantities.uncertainty_in_column(known, term.quantity, choice)}"


def _distances(plan: Plan, choice: UnitChoice) -> str:
    """What distances are counted in, after how well the columns beside them are known."""
    known = spring.options_uncertainty(plan.options, plan.intake.sheet, choice)
    return f"{known} {spring.distance_meaning(plan.spring.noticeable, choice)}".lstrip()


def _facts(plan: Plan, choice: UnitChoice) -> Iterator[OutcomeLine]:
    view = plan.spring
    yield OutcomeLine("load", spring.load_text(view.load, choice))
    yield OutcomeLine("aim", spring.aim_text(view.aim, choice))
    yield OutcomeLine("exponents", spring.exponents_text(view, choice))
    for name, friction in (("as found", view.as_found_friction), ("target", view.target_friction)):
        if friction is not None:
            yield OutcomeLine(f"friction, {name}", spring.friction_text(friction, choice))


def _changes(plan: Plan, choice: UnitChoice) -> Iterator[ChangeRow]:
    for change in plan.changes:
        text = change_text(change, plan.intake.sheet, choice)
        yield ChangeRow(text.what, text.before, text.after, text.note)


def _finding(one: Finding, choice: UnitChoice) -> FindingRow:
    return FindingRow(one.code, one.severity.value, findings.finding_sentence(one, choice), one.field)


def _counts(plan: Plan) -> Iterator[str]:
    for severity, noun in ((Severity.NOT_ALLOWED, "refusal"), (Severity.QUESTION, "question"), (Severity.NOTE, "note")):
        many = sum(one.severity is severity for one in plan.findings)
        if many:
            yield quantities.count_text(many, noun)


def outcome_questions(plan: Plan) -> tuple[Finding, ...]:
    """The findings that want an answer."""
    return tuple(one for one in plan.findings if one.severity is Severity.QUESTION)


def _caption(plan: Plan, choice: UnitChoice) -> str:
    view = plan.spring
    stroke, slow = (f"{n:g}".replace(".", choice.decimal) for n in (view.stroke_exponent, view.slow_exponent))
    return f"thick: stroke at n = {stroke}, with one standard uncertainty; thin: slow, n = {slow}, with its sag"


def _curve_headings(plan: Plan, choice: UnitChoice) -> Iterator[str]:
    view = plan.spring
    length, force = choice.unit(Quantity.LENGTH), choice.unit(Quantity.FORCE)
    yield "of travel"
    for name, curve in (("as found", view.as_found_curve), ("target", view.target_curve)):
        if curve is not None:
            yield from (f"{name}\n{length}", f"slow\n{force}", f"stroke\n{force}")


def _curve_rows(plan: Plan, choice: UnitChoice) -> Iterator[tuple[str, ...]]:
    curves = [one for one in (plan.spring.as_found_curve, plan.spring.target_curve) if one is not None]
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


def _stance(plan: Plan, choice: UnitChoice) -> Iterator[StanceRow]:
    """At sag where that is known, else topped out."""
    view = plan.stance
    if view is None or not view.topped_out:
        return
    block: dict[Side, Stance] = dict(view.sagged) or dict(view.topped_out)
    found, target = block.get(Side.AS_FOUND), block.get(Side.TARGET)
    for term in (stance.FORK, *stance.STANCE_TERMS):
        cells = ["" if one is None else stance.value_of(term, one, choice) for one in (found, target)]
        change = (
            ""
            if found is None or target is None
            else stance.change(stance.difference_of(term, found, target), term.quantity, choice)
        )
        yield StanceRow(term.name, cells[0], cells[1], change)


def _stance_note(plan: Plan, choice: UnitChoice) -> str:
    view = plan.stance
    if view is None or not view.topped_out:
        return ""
    return stance.sagged_meaning(view, choice) if view.sagged else "Topped out."


def _bike_notes(plan: Plan, choice: UnitChoice) -> Iterator[OutcomeLine]:
    view = plan.stance
    if view is None:
        return
    if view.outline is not None:
        yield from (OutcomeLine(*line) for line in stance.outline_lines(view.outline, choice))
    yield from (OutcomeLine(stance.sat_lead(one), stance.sat_text(one, choice)) for one in view.rider_loads)
    yield from (OutcomeLine(*line) for line in stance.clearance_lines(view.clearances, choice))
