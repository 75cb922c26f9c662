"""Coils on a shelf, each at its best preload for a sag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain.coil_spring import CoilAnswer, CoilChoice, CoilOnOffer, CoilQuestion, WoundCoil
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics import coil, coil_wire
from sagwright.planning.spring.wound_coil import rate_of, wound_coil


def coils_for(question: CoilQuestion, shelf: Sequence[CoilOnOffer]) -> CoilAnswer:
    """Every coil at its best preload.

    A spacer under the top-out takes its height off the travel and, since it holds the unit further in, presses the coil
    by as much: the preload said here is the whole of it, so the same length must leave the preload stack.

    Raises
    ------
    MissingValue
        If there is no coil, or one with neither a rate nor how it is made.
    OutOfRange
        If a coil cannot be wound, or the question cannot be.
    """
    if not shelf:
        raise MissingValue("must be given", field="coil", remedy="Name at least one, like rate: 8 N/mm.")
    travel = question.travel - question.shorten
    if not 0 < question.sag < travel:
        sag = {"sag": (question.sag, Quantity.LENGTH)}
        raise OutOfRange("must lie within the travel", field="sag", value="{sag}", figures=sag)
    rates = [rate_of(each) for each in shelf]
    values = [value for value, _ in rates]
    ranked = coil.rank_coils(values, load=question.load, wanted_sag=question.sag, preload=question.preload)
    choices = [_choice(question, travel, shelf[one.place], rates[one.place], one) for one in ranked]
    return CoilAnswer(question, travel, tuple(sorted(choices, key=lambda choice: choice.bound)))


def _choice(
    question: CoilQuestion, travel: float, shelved: CoilOnOffer, rate: tuple[float, float | None], one: coil.CoilFit
) -> CoilChoice:
    k, k_u = rate
    deep = one.preload + travel
    sag = Measured(one.sag, None if k_u is None else question.load / k**2 * k_u)
    plain = CoilChoice(shelved, Measured(k, k_u), one.preload, sag, k * one.preload, k * deep)
    return plain if shelved.wound is None else _made(plain, shelved.wound, travel)


def _made(plain: CoilChoice, wound: WoundCoil, travel: float) -> CoilChoice:
    """A choice with the stress, gaps and reserve that follow from how the coil is made."""
    made = wound_coil(wound)
    stress = float(np.asarray(coil.stress(made, plain.full_travel)))
    return replace(
        plain,
        reserve=float(np.asarray(coil.stroke_left(made, preload=plain.preload, travel=travel))),
        gaps=float(np.asarray(coil.least_gaps(made))),
        stress=stress,
        yield_ratio=_of_yield(stress, wound),
        buckles_at=float(np.asarray(coil.buckling_deflection(made))),
    )


def _of_yield(stress: float, wound: WoundCoil) -> float | None:
    try:
        return stress / coil_wire.yield_shear(coil_wire.Wire(wound.material), wound.wire.si)
    except OutOfRange:
        return None
