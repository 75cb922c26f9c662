"""As-found states that are wrong: what they do is computed, said, and never planned."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.domain.build import Build, StackSetting
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake
from sagwright.domain.value import Figure, Quantity, Unknown
from sagwright.planning.behave import SLOW
from sagwright.planning.builds import charge_of, possible
from sagwright.planning.checks import count, finding, length
from sagwright.planning.model import fit_of, model_of, state_of, stroke_of


def equaliser_off(intake: Intake, build: Build) -> tuple[int, int] | None:
    """Travel spacers and equaliser hole of a build where they do not belong together; None where they do."""
    setting = build.setting
    if not isinstance(setting, StackSetting) or intake.sheet.air.equaliser.holes == 1:
        return None
    spacers, hole = setting.travel_spacers, setting.equaliser_hole
    if isinstance(spacers, Unknown) or isinstance(hole, Unknown) or spacers == hole:
        return None
    return spacers, hole


def about_equaliser(intake: Intake) -> Iterator[Finding]:
    """The equaliser does not stand beside its spacers.

    Behind after shortening it is never passed: the negative chamber stays empty. Ahead after lengthening it opens
    late: the unit rests in its travel.
    """
    build = possible(intake)[0]
    off = equaliser_off(intake, build)
    if off is None:
        return
    spacers, hole = off
    code = "found.equaliser-behind" if hole < spacers else "found.equaliser-ahead"
    numbers = {"spacers": count(spacers), "hole": count(hole), "holes": count(abs(spacers - hole))}
    yield finding(code, "as_found.equaliser_hole", **numbers, **dict(_effect(intake, build)))


def _effect(intake: Intake, build: Build) -> Iterator[tuple[str, Figure]]:
    """Force to start it moving, and where it rests; nothing while the charge is not known."""
    charge = charge_of(build)
    if charge is None:
        return
    model = model_of(intake.sheet, fit_of(intake.sheet, build), intake.workshop)
    slow = stroke_of(model, state_of(model, charge), n=SLOW)
    sheet = intake.sheet
    start = max(0.0, float(slow.force(sheet.top_out.length.si))) + sheet.friction.breakaway.si
    yield "breakaway", Figure(start, Quantity.FORCE)
    yield "rests", length(float(slow.compression_under(0.0)))
