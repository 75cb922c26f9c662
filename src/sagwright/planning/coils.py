"""Choosing a coil for a sag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain.coil_spring import CoilAnswer, CoilChoice, CoilQuestion, Shelved, Wound
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics import coil, coil_wire
from sagwright.physics.coil import Coil, Ends
from sagwright.physics.uncertainty import Array, Doubtful, Inputs, Model, propagate


def coils_for(question: CoilQuestion, shelf: Sequence[Shelved]) -> CoilAnswer:
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
        raise MissingValue("must be there", field="coil", remedy="Name at least one, like rate: 8 N/mm.")
    travel = question.travel - question.shorten
    if not 0 < question.sag < travel:
        raise OutOfRange("must lie within the travel", field="sag", value=f"{question.sag * 1e3:g} mm")
    rates = [rate_of(each) for each in shelf]
    values = [value for value, _ in rates]
    ranked = coil.choose(values, load=question.load, wanted_sag=question.sag, preload=question.preload)
    choices = [_choice(question, travel, shelf[one.place], rates[one.place], one) for one in ranked]
    return CoilAnswer(question, travel, tuple(sorted(choices, key=lambda choice: choice.bound)))


def rate_of(shelved: Shelved) -> tuple[float, float | None]:
    """Rate [N/m] and its standard uncertainty: as printed, else from how the coil is made.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    if shelved.rate is not None:
        return shelved.rate.si, shelved.rate.u
    if shelved.wound is None:
        raise MissingValue(
            "must have a rate, or wire, diameter, turns and free_length", field=shelved.name, remedy="Write one."
        )
    result = propagate(_rates(shelved.wound), _inputs(shelved.wound))
    return float(result.values[0]), float(result.u[0]) or None


def wound_coil(wound: Wound) -> Coil:
    """A coil as physics takes it; numbers, or arrays in their place, the first of which finds the moduli."""
    moduli = coil_wire.moduli(coil_wire.Wire(wound.material), float(np.ravel(wound.wire.si)[0]))
    return Coil(
        wire=wound.wire.si,
        diameter=wound.diameter.si,
        turns=wound.turns.si,
        free_length=wound.free_length.si,
        shear_modulus=moduli.shear,
        elastic_modulus=moduli.elastic,
        ends=Ends.GROUND if wound.ground else Ends.CLOSED,
    )


def _inputs(wound: Wound) -> dict[str, Doubtful]:
    sizes = {"wire": wound.wire, "diameter": wound.diameter, "turns": wound.turns}
    return {name: Doubtful(size.si, ((name, size.u or 0.0),)) for name, size in sizes.items()}


def _rates(wound: Wound) -> Model:
    """The rate as a function of what is not exactly known."""
    plain = wound_coil(wound)
    coil.check(plain)

    def model(cases: Inputs) -> Array:
        many = replace(plain, wire=cases["wire"], diameter=cases["diameter"], turns=cases["turns"])
        return np.asarray(coil.rate(many), dtype=float)

    return model


def _choice(
    question: CoilQuestion, travel: float, shelved: Shelved, rate: tuple[float, float | None], one: coil.Choice
) -> CoilChoice:
    k, k_u = rate
    deep = one.preload + travel
    sag_u = None if k_u is None else question.load / k**2 * k_u
    plain = CoilChoice(shelved, k, k_u, one.preload, one.sag, sag_u, k * one.preload, k * deep)
    return plain if shelved.wound is None else _made(plain, shelved.wound, travel)


def _made(plain: CoilChoice, wound: Wound, travel: float) -> CoilChoice:
    """The same with what follows from how the coil is made."""
    made = wound_coil(wound)
    stress = float(np.asarray(coil.stress(made, plain.full)))
    return replace(
        plain,
        left=float(np.asarray(coil.stroke_left(made, preload=plain.preload, travel=travel))),
        gaps=float(np.asarray(coil.least_gaps(made))),
        stress=stress,
        of_yield=_of_yield(stress, wound),
        bows_at=float(np.asarray(coil.buckling_deflection(made))),
    )


def _of_yield(stress: float, wound: Wound) -> float | None:
    try:
        return stress / coil_wire.yield_shear(coil_wire.Wire(wound.material), wound.wire.si)
    except OutOfRange:
        return None
