"""A reading and where it was taken → what it means."""

from __future__ import annotations

from sagwright.domain.gauge_reading import PressureAnswer, PressureQuestion
from sagwright.planning.gauge_reading import answered, surroundings

__all__ = ["pressure", "surroundings"]


def pressure(question: PressureQuestion) -> PressureAnswer:
    """What a gauge's reading means; errors as `planning.pressures.answered`."""
    return answered(question)
