"""Coils as they are written → the one for a sag."""

from __future__ import annotations

from collections.abc import Sequence

from sagwright.domain.coil_spring import CoilAnswer, CoilQuestion
from sagwright.formats.sheet.coil import read_coil
from sagwright.planning.matching.coil_shelf import coils_for


def coil(question: CoilQuestion, coils: Sequence[str]) -> CoilAnswer:
    """Every coil at the preload that brings it nearest to a sag; errors as `read_coil` and `coils_for`."""
    return coils_for(question, [read_coil(text, number=i) for i, text in enumerate(coils, 1)])
