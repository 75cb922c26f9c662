"""What a plan says, ready to be shown: behaviours, options, changes, findings, the bike, drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.plan import Selection
from sagwright.domain.value import Quantity
from sagwright.domain.work import Work
from sagwright.drawing.cutaway.layout import legs_of
from sagwright.drawing.side_view import bikes_of
from sagwright.phrases import quantities, spring, stance
from sagwright.phrases.changes import ChangeText
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.plan_rows import (
    BehaviourRow,
    FindingRow,
    StanceRow,
    basis_rows,
    behaviour_rows,
    change_rows,
    finding_rows,
    friction_rows,
    stance_rows,
    uncertainty_note,
)
from sagwright.service.calculators import insides
from sagwright.units import UnitChoice
from sagwright.web.drawings import cutaway_drawing, force_drawing, force_of, side_drawing
from sagwright.web.plan.options import FAR, OfferedRow, offered_rows

LARGE, SMALL = 640.0, 350.0  # px, the widths drawings are laid out for
EVERY: Final = 5  # points of a curve from one row of its table to the next


@dataclass(frozen=True, slots=True)
class Outcome:
    """Everything a plan says.

    Attributes
    ----------
    verdict : str
        The target in one line, or that there is none and why.
    refused : bool
    behaviours : tuple of BehaviourRow
    facts : tuple of LabelledLine
        Load, aim, exponents, friction.
    uncertainties, distances : str
        What ± and "mismatch" stand for.
    headings : tuple of str
        Of the options.
    options, further : tuple of OfferedRow
        The nearest with what they are compared with, and the others.
    changes : tuple of ChangeText
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
    bike_notes : tuple of LabelledLine
        Who sits on it and what it carries; clearances; or what an outline lets one say.
    """

    verdict: str
    refused: bool
    behaviours: tuple[BehaviourRow, ...]
    facts: tuple[LabelledLine, ...]
    uncertainties: str
    distances: str
    headings: tuple[str, ...]
    options: tuple[OfferedRow, ...]
    further: tuple[OfferedRow, ...]
    changes: tuple[ChangeText, ...]
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
    bike_notes: tuple[LabelledLine, ...]


def outcome_of(selection: Selection, work: Work, choice: UnitChoice) -> Outcome:
    """Everything that the selection of a target says, and what its work changes, in the units asked for."""
    force, legs, bikes = force_of(selection), legs_of(insides(selection)), bikes_of(selection)
    rows, nothing = tuple(offered_rows(selection, choice)), Markup("")
    return Outcome(
        verdict=_verdict(selection, choice),
        refused=selection.target is None,
        behaviours=behaviour_rows(selection, choice),
        facts=(*basis_rows(selection, choice), *friction_rows(selection, choice)),
        uncertainties=uncertainty_note(selection, choice),
        distances=_distances(selection, choice),
        headings=spring.option_headings(selection.intake.sheet, choice),
        options=tuple(row for row in rows if row.kind != FAR),
        further=tuple(row for row in rows if row.kind == FAR),
        changes=change_rows(work.changes, work.sheet, choice),
        findings=finding_rows(selection.findings, choice),
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


def _verdict(selection: Selection, choice: UnitChoice) -> str:
    target = selection.target
    if target is None:
        why = "This is refused as a target" if selection.refused else "Nothing that can be reached may be a target"
        return f"{why}: the findings say why."
    travel = quantities.number_text(target.travel, Quantity.LENGTH, choice)
    said = f"{travel} of travel; {spring.setup_text(target.setup, choice, selection.intake.sheet)}"
    if target.pressure_gauge is None or target.pressure_gauge.u is None:
        return f"{said}."
    return f"{said}, ± {quantities.bare_difference(target.pressure_gauge.u, Quantity.PRESSURE, choice)}, topped out."


def _distances(selection: Selection, choice: UnitChoice) -> str:
    """What distances are counted in, after how well the columns beside them are known."""
    known = spring.options_uncertainty(selection.options, choice)
    return f"{known} {spring.distance_meaning(selection.spring.noticeable, choice)}".lstrip()


def _counts(selection: Selection) -> Iterator[str]:
    for severity, noun in ((Severity.NOT_ALLOWED, "refusal"), (Severity.QUESTION, "question"), (Severity.NOTE, "note")):
        many = sum(one.severity is severity for one in selection.findings)
        if many:
            yield quantities.count_text(many, noun)


def outcome_questions(selection: Selection) -> tuple[Finding, ...]:
    """The findings that want an answer."""
    return tuple(one for one in selection.findings if one.severity is Severity.QUESTION)


def _caption(selection: Selection, choice: UnitChoice) -> str:
    view = selection.spring
    stroke, slow = (f"{n:g}".replace(".", choice.decimal) for n in (view.stroke_exponent, view.slow_exponent))
    return f"thick: stroke at n = {stroke}, with one standard uncertainty; thin: slow, n = {slow}, with its sag"


def _curve_headings(selection: Selection, choice: UnitChoice) -> Iterator[str]:
    view = selection.spring
    length, force = choice.unit(Quantity.LENGTH), choice.unit(Quantity.FORCE)
    yield "of travel"
    for name, curve in (("as found", view.as_found_curve), ("target", view.target_curve)):
        if curve is not None:
            yield from (f"{name}\n{length}", f"slow\n{force}", f"stroke\n{force}")


def _curve_rows(selection: Selection, choice: UnitChoice) -> Iterator[tuple[str, ...]]:
    curves = [one for one in (selection.spring.as_found_curve, selection.spring.target_curve) if one is not None]
    if not curves:
        return
    points = len(curves[0].compression.value)
    for place in range(0, points, EVERY):
        cells = [f"{100 * place // (points - 1)} %"]
        for curve in curves:
            cells.append(quantities.bare(curve.compression.value[place], Quantity.LENGTH, choice))
            forces = (curve.slow_force.value[place], curve.stroke_force.value[place])
            cells += [quantities.in_column(force, Quantity.FORCE, choice) for force in forces]
        yield tuple(cells)


# The bike


def _stance(selection: Selection, choice: UnitChoice) -> Iterator[StanceRow]:
    """At sag where that is known, else topped out."""
    view = selection.stance
    if view is None or not view.topped_out:
        return
    yield from stance_rows(dict(view.sagged or view.topped_out), choice)


def _stance_note(selection: Selection, choice: UnitChoice) -> str:
    view = selection.stance
    if view is None or not view.topped_out:
        return ""
    return stance.sagged_meaning(view, choice) if view.sagged else "Topped out."


def _bike_notes(selection: Selection, choice: UnitChoice) -> Iterator[LabelledLine]:
    view = selection.stance
    if view is None:
        return
    if view.outline is not None:
        yield from stance.outline_lines(view.outline, choice)
    yield from (stance.sat_line(one, choice) for one in view.rider_loads)
    yield from stance.clearance_lines(view.clearances, choice)
