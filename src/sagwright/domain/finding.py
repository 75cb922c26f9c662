"""What planning finds to say: refusals, questions and notes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sagwright.domain.value import Figure


class Severity(StrEnum):
    """How much a finding weighs."""

    NOT_ALLOWED = "not allowed"
    QUESTION = "question"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check says.

    Attributes
    ----------
    code : str
        "travel.not-permitted"; phrases turns it into a sentence.
    field : str
        What it is about, as a path in the intake: "wish.travel".
    figures : tuple of (str, Figure)
        The numbers of its sentence, SI.
    words : tuple of (str, str)
        The names of its sentence.
    """

    code: str
    severity: Severity
    field: str
    figures: tuple[tuple[str, Figure], ...] = ()
    words: tuple[tuple[str, str], ...] = ()
