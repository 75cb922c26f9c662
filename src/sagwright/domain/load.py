"""What a fork carries at rest, and which way that was got."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class LoadHow(StrEnum):
    """Which way a load was got."""

    GIVEN = "given"
    SHARE = "mass times a stated front share"
    SCALE = "a scale under the front wheel"
    POSTURE = "masses, posture and how the bike stands at sag"
    ASSUMED = "assumed: what as found carries at 20 % of its travel"


@dataclass(frozen=True, slots=True)
class Load:
    """Force along the fork at rest [N], and which way it was got."""

    force: float
    u: float | None
    how: LoadHow
