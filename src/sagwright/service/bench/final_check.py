"""Readings as left held against the plan as it was gone on with, and recorded."""

from __future__ import annotations

from collections.abc import Mapping

from sagwright.domain.diagnosis import Diagnosis, Prediction, Verdict
from sagwright.domain.plan import Plan
from sagwright.domain.records.payloads import Reading
from sagwright.planning.diagnosis.predictions import (
    READ_NEXT,
    LeakTest,
    diagnosis_of,
    explained,
    leak_prediction,
    predictions,
    verdict_of,
)
from sagwright.service.bench.state import AtTheStand

__all__ = ["NEXT", "LeakTest", "diagnosis", "judged", "leak_judged", "proof_reading", "to_prove"]

NEXT = READ_NEXT
"""The reading that tells each explanation apart."""


def to_prove(work: AtTheStand) -> tuple[Prediction, ...]:
    """The readings that prove a job's work, in order; none where tasks alone were done, which predict nothing."""
    plan = work.work
    return predictions(plan) if isinstance(plan, Plan) and plan.target is not None else ()


def judged(prediction: Prediction, value: float) -> tuple[Verdict, tuple[str, ...]]:
    """A reading's verdict, and codes of what would explain one outside its band."""
    verdict = verdict_of(prediction, value)
    return verdict, explained(verdict)


def diagnosis(work: AtTheStand, read: Mapping[str, float]) -> Diagnosis | None:
    """Which simulated mistakes would explain a job's readings, nearest first; None where nothing can be said."""
    return diagnosis_of(work.work, read) if isinstance(work.work, Plan) else None


def leak_judged(test: LeakTest) -> tuple[Verdict, tuple[str, ...]]:
    """A leak test's verdict, corrected for temperature."""
    return judged(leak_prediction(test), test.end_gauge)


def proof_reading(verdict: Verdict, *, what: str, said: str, photo: str | None = None) -> Reading:
    """A reading as it is recorded, beside its prediction."""
    told = verdict.prediction
    return Reading(
        key=told.key,
        what=what,
        said=said,
        quantity=told.quantity,
        value=verdict.value,
        u=told.reading_u,
        predicted=told.value,
        predicted_u=told.u,
        passes=verdict.inside,
        photo=photo,
    )
