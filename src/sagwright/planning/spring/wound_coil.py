"""How stiff a coil is, and how far it goes until it is solid: as printed on it, or by how it is made."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sagwright.domain.coil_spring import CoilOnOffer, WoundCoil
from sagwright.errors import MissingValue
from sagwright.physics import coil, coil_wire
from sagwright.physics.coil import Coil, Ends
from sagwright.physics.numeric import Real
from sagwright.physics.uncertainty import Array, Doubtful, Inputs, MeasurementModel, propagate


def rate_of(shelved: CoilOnOffer) -> tuple[float, float | None]:
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


def wound_coil(wound: WoundCoil) -> Coil:
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


def _inputs(wound: WoundCoil) -> dict[str, Doubtful]:
    sizes = {"wire": wound.wire, "diameter": wound.diameter, "turns": wound.turns}
    return {name: Doubtful(size.si, ((name, size.u or 0.0),)) for name, size in sizes.items()}


def _rates(wound: WoundCoil) -> MeasurementModel:
    """The rate as a function of what is not exactly known."""
    plain = wound_coil(wound)
    coil.check_coil(plain)

    def model(cases: Inputs) -> Array:
        many = replace(plain, wire=cases["wire"], diameter=cases["diameter"], turns=cases["turns"])
        return np.asarray(coil.coil_rate(many), dtype=float)

    return model


def seat_distance(shelved: CoilOnOffer) -> float:
    """From its free length until all its turns touch [m]; infinite where nobody says how it is made."""
    return float("inf") if shelved.wound is None else shelved.wound.free_length.si - shelved.wound.solid


def stiffness_of(shelved: CoilOnOffer) -> Real:
    """Rate [N/m], as printed, else from how the coil is made; an array where its numbers are arrays.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    if shelved.rate is not None:
        return shelved.rate.si
    return rate_of(shelved)[0] if shelved.wound is None else coil.coil_rate(wound_coil(shelved.wound))
