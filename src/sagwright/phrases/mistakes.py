"""Mistakes in words: what each is, and how it shows; common practice, no source."""

from __future__ import annotations

from typing import Final

from sagwright.domain.diagnosis import Mistake, MistakeKind
from sagwright.domain.value import Quantity
from sagwright.phrases import figures
from sagwright.units import Choice

SHOWS: Final = {
    MistakeKind.NOT_CYCLED: "hard off the top; the pressure falls once on cycling, then stays",
    MistakeKind.EQUALISER_BEHIND: "tall and hardly sags; the pressure never falls, the travel is right with air out",
    MistakeKind.EQUALISER_AHEAD: "rests in its travel at any pressure; full length with air out",
    MistakeKind.EQUALISER_BLOCKED: "tall and hardly sags; the pressure never falls however often it is cycled",
    MistakeKind.TRAVEL_SPACERS: "travel with air out is off by one height each",
    MistakeKind.VOLUME_SPACERS: "sag hardly moves; the pressure deep in the travel does",
    MistakeKind.CLOSED_IN: "sits a little low; the legs breathe in when bled at full extension",
    MistakeKind.CLOSED_COLD: "harsh at first; the legs breathe out once when bled and stay cured",
    MistakeKind.CLOSED_LOW: "harsh at first; the legs breathe out once when bled and stay cured",
    MistakeKind.BATH_OIL: "the last of the travel is gone; springy near the bottom with air out",
    MistakeKind.CHAMBER_OIL: "loses end travel; oil on venting",
    MistakeKind.PISTON_SEAL: "sinks over hours while the total air stays; cycling restores it",
    MistakeKind.SEAL_HEAD_SEAL: "pressure falls over hours; the spring leg breathes out when bled, again next day",
    MistakeKind.VALVE: "pressure falls over hours; soapy water shows it and the legs bleed nothing",
}
"""How each shows, in a phrase."""

_AMOUNTS: Final = {
    MistakeKind.CLOSED_IN: Quantity.LENGTH,
    MistakeKind.CLOSED_LOW: Quantity.PRESSURE,
    MistakeKind.BATH_OIL: Quantity.VOLUME,
    MistakeKind.CHAMBER_OIL: Quantity.VOLUME,
}


def mistake_text(mistake: Mistake | None, choice: Choice) -> str:
    """A mistake and how much of it: "wrong count of volume spacers, 1 too many"."""
    if mistake is None:
        return "as it should be"
    kind, amount = mistake.kind, mistake.amount
    if kind in _AMOUNTS:
        return f"{kind}, {figures.number(amount, _AMOUNTS[kind], choice)}"
    if kind is MistakeKind.CLOSED_COLD:
        return f"{kind}, by {amount:g} °C"
    if kind in (MistakeKind.TRAVEL_SPACERS, MistakeKind.VOLUME_SPACERS):
        return f"{kind}, {abs(amount):g} too {'many' if amount > 0 else 'few'}"
    if kind in (MistakeKind.EQUALISER_BEHIND, MistakeKind.EQUALISER_AHEAD):
        return f"{kind}, {figures.count(round(amount), 'hole')}"
    return str(kind)
