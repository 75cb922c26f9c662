"""Which usual mistakes would explain what was read, and what to read next.

Every mistake is simulated in a few amounts and compared with the readings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from sagwright.domain import measuring
from sagwright.domain.diagnosis import BenchReading, Diagnosis, Explanation, Mistake, MistakeKind, ReadingKind, Signs
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.errors import OutOfRange
from sagwright.planning.diagnosis.mistakes import Standing, signs_of

USUAL: Final = (
    *(Mistake(kind) for kind in (MistakeKind.NOT_CYCLED, MistakeKind.TRANSFER_PORT_BLOCKED)),
    *(
        Mistake(kind, n)
        for kind in (MistakeKind.TRANSFER_PORT_BEHIND, MistakeKind.TRANSFER_PORT_AHEAD)
        for n in (1.0, 2.0)
    ),
    *(Mistake(kind, n) for kind in (MistakeKind.TRAVEL_SPACERS, MistakeKind.VOLUME_SPACERS) for n in (-1.0, 1.0)),
    Mistake(MistakeKind.CLOSED_IN, 0.030),
    Mistake(MistakeKind.CLOSED_COLD, 20.0),
    Mistake(MistakeKind.CLOSED_LOW, 2.0e4),
    Mistake(MistakeKind.LOWER_LEG_OIL, 20e-6),
    Mistake(MistakeKind.CHAMBER_OIL, 8e-6),
    Mistake(MistakeKind.PISTON_SEAL, 1e-9),
    Mistake(MistakeKind.SEAL_HEAD_SEAL, 1e-9),
    Mistake(MistakeKind.VALVE, 1e-9),
)
"""The mistakes that are looked at, in the amounts that are usual."""


def shown_by_all(
    sheet: Sheet, setup: Setup, standing: Standing, mistakes: Sequence[Mistake] = USUAL
) -> Iterator[tuple[Mistake | None, Signs]]:
    """A setup as it should be, and with each mistake that can be made on it; what cannot is left out."""
    yield None, signs_of(sheet, setup, None, standing=standing)
    for mistake in mistakes:
        try:
            yield mistake, signs_of(sheet, setup, mistake, standing=standing)
        except OutOfRange:
            continue


def good_to(sheet: Sheet) -> dict[ReadingKind, float]:
    """Standard uncertainty of each reading where nobody says better; of a breakaway also what friction leaves open."""
    friction = measuring.FRICTION.u * sheet.friction.breakaway.si
    return {
        ReadingKind.TRAVEL: measuring.RULE.difference_u,
        ReadingKind.EXPOSED: measuring.RULE.difference_u,
        ReadingKind.GAUGE_FALL: measuring.PUMP_SCATTER.difference_u,
        ReadingKind.BREAKAWAY: math.hypot(measuring.LUGGAGE_SCALE.u, friction),
        ReadingKind.SAG: measuring.RING_READING.u,
        ReadingKind.DEEP_GAUGE: measuring.PUMP_DEEP.u,
    }


def read_of(sheet: Sheet, signs: Signs) -> dict[ReadingKind, float]:
    """What each reading would be."""
    return {
        ReadingKind.TRAVEL: signs.travel,
        ReadingKind.EXPOSED: signs.exposed,
        ReadingKind.GAUGE_FALL: signs.valve_gauge - signs.cycled_gauge,
        ReadingKind.BREAKAWAY: max(0.0, signs.top_out_force) + sheet.friction.breakaway.si,
        ReadingKind.SAG: signs.sag,
        ReadingKind.DEEP_GAUGE: signs.valve_deep,
    }


def diagnosed(
    sheet: Sheet,
    setup: Setup,
    readings: Sequence[BenchReading],
    *,
    standing: Standing,
    mistakes: Sequence[Mistake] = USUAL,
) -> Diagnosis:
    """Rank the mistakes by how well they explain readings, and name the reading that best parts those that do.

    Parameters
    ----------
    sheet, setup : Sheet, Setup
        The setup as it should be, fully known and charged.
    readings : sequence of Reading
        With uncertainties above 0.
    standing : Standing
    mistakes : sequence of Mistake

    Raises
    ------
    OutOfRange
        If a reading's uncertainty is not above 0, or the right setup cannot exist.
    """
    if any(not reading.u > 0 for reading in readings):
        raise OutOfRange("must be greater than 0", field="u", remedy="Say how well it was read.")
    compared = [
        _explanation(sheet, mistake, signs, readings)
        for mistake, signs in shown_by_all(sheet, setup, standing, mistakes)
    ]
    ranked = tuple(sorted(compared, key=lambda one: (not one.explains, round(one.mismatch, 9))))
    return Diagnosis(ranked, _next(sheet, ranked, {reading.kind for reading in readings}))


def _explanation(sheet: Sheet, mistake: Mistake | None, signs: Signs, readings: Sequence[BenchReading]) -> Explanation:
    predicted = read_of(sheet, signs)
    off = np.array([(reading.value - predicted[reading.kind]) / reading.u for reading in readings])
    root = float(np.sqrt(np.mean(off**2))) if len(off) else 0.0
    return Explanation(mistake, signs, root, bool(np.all(np.abs(off) <= measuring.COVERAGE)))


def _next(sheet: Sheet, ranked: Sequence[Explanation], taken: set[ReadingKind]) -> ReadingKind | None:
    """The reading that parts most pairs of what is left; of equally good ones the cheapest, by the order of kinds."""
    left = [read_of(sheet, one.signs) for one in ranked if one.explains]
    good = good_to(sheet)
    parted = {kind: _pairs_apart([one[kind] for one in left], good[kind]) for kind in ReadingKind if kind not in taken}
    best = max(parted.values(), default=0)
    return next((kind for kind, pairs in parted.items() if pairs == best), None) if best else None


def _pairs_apart(read: Sequence[float], u: float) -> int:
    values = np.array(read)
    return int(np.sum(np.abs(values[:, None] - values) > measuring.COVERAGE * u)) // 2
