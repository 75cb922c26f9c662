"""The readings after the work in words, and the usual mistakes: what each is, and how it shows.

Mistakes and their signs are common practice, no source.
"""

from __future__ import annotations

from typing import Final

from sagwright.domain.diagnosis import ACCEPTED, BACK, Mistake, MistakeKind
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.units import UnitChoice

SHOWS: Final = {
    MistakeKind.NOT_CYCLED: "hard off the top; the pressure falls once on cycling, then stays",
    MistakeKind.TRANSFER_PORT_BEHIND: "tall and hardly sags; the pressure never falls, the travel is right with "
    "the air out",
    MistakeKind.TRANSFER_PORT_AHEAD: "rests in its travel at any pressure; full length with the air out",
    MistakeKind.TRANSFER_PORT_BLOCKED: "tall and hardly sags; the pressure never falls however often it is cycled",
    MistakeKind.TRAVEL_SPACERS: "travel with the air out differs by one spacer height each",
    MistakeKind.VOLUME_SPACERS: "sag hardly moves; the pressure deep in the travel does",
    MistakeKind.CLOSED_IN: "sits a little low; the legs breathe in when bled at full extension",
    MistakeKind.CLOSED_COLD: "harsh at first; the legs breathe out once when bled and stay cured",
    MistakeKind.CLOSED_LOW: "harsh at first; the legs breathe out once when bled and stay cured",
    MistakeKind.LOWER_LEG_OIL: "the last of the travel is gone; springy near the bottom with the air out",
    MistakeKind.CHAMBER_OIL: "loses end travel; oil on venting",
    MistakeKind.PISTON_SEAL: "sinks over hours while the total air stays; cycling restores it",
    MistakeKind.SEAL_HEAD_SEAL: "pressure falls over hours; the spring leg breathes out when bled, again next day",
    MistakeKind.VALVE: "pressure falls over hours; soapy water shows it and the legs bleed nothing",
}
"""How each shows, in a phrase."""

_AMOUNTS: Final = {
    MistakeKind.CLOSED_IN: Quantity.LENGTH,
    MistakeKind.CLOSED_LOW: Quantity.PRESSURE,
    MistakeKind.LOWER_LEG_OIL: Quantity.VOLUME,
    MistakeKind.CHAMBER_OIL: Quantity.VOLUME,
}

_READINGS: Final = {
    "exposed_change": (
        "Change of the exposed stanchion since it came in",
        (
            "Topped out and charged, measure what shows of the stanchion between wiper and crown. Subtract "
            "the reading as found. Shorter is negative."
        ),
    ),
    "pressure_before": ("Pressure before cycling", "Topped out. Screw the pump on, read, and leave it on."),
    "pressure_after": (
        "Pressure after ten cycles",
        "With the pump left on, press the unit through its transfer port ten times, let it out slowly, and read again.",
    ),
    "breakaway": (
        "Force that starts it moving",
        "Axle out. Pull slowly with a luggage scale along the legs and read where it starts.",
    ),
    "sag_pressed": (
        "Sag after pressing",
        "Standing, level, brakes off, dampers open, gear on. Press down, let it come up by itself, read the ring.",
    ),
    "sag_lifted": ("Sag after lifting", "As after pressing, but lift it first, let it settle, read the ring."),
    "leak": (
        "Leak test",
        (
            "Leave the pump on, or leave the valve alone overnight. 15 minutes find a gross leak only. Write down both "
            "temperatures: the pressure changes with them."
        ),
    ),
}
"""What a reading is called, and how it is taken."""

EXPLAINED: Final = {
    "not_cycled": "the charge was not cycled through the transfer port: it falls once and then stays. Set it again",
    "leak": "air is lost at valve, cap or a seal: soapy water at the valve, and wait",
    "gauge": "another pump, or one that reads wrong: read again with the pump used as found",
    "spacer_too_many": "one travel spacer too many",
    "spacer_too_few": "one travel spacer too few",
    "port_behind_shortening": "the transfer port was left behind after shortening, or is plugged with grease: "
    "the negative chamber stays empty",
    "port_behind_lengthening": "the transfer port was left behind after lengthening: it opens late and the unit "
    "rests in its travel",
    "stuck_down": "it is stuck down. If it won't extend it holds pressure: stop, and take out neither retaining "
    "ring nor seal head",
    "ring_not_seated": "the retaining ring is not in its groove. Stop, let the air out, confirm that it is empty, "
    "seat the ring and tug-test it",
    "sticky": "friction: too little oil, a folded wiper, a leg twisted, wheel or axle clamped out of line",
    "pressure_low": "the pressure is lower than planned",
    "pressure_high": "the pressure is higher than planned",
    "legs_closed_in": "the lower legs were closed while it was pressed in: bleed them at full extension",
    "reconnected": "the pump was taken off and put on again: that alone takes 1 to 3 %",
}
"""What would explain a reading outside its band: common practice, no source."""

BACK_TOGETHER: Final = {
    "wheel": "Wheel seated in both dropouts, turning the right way round, rotor clear of the pads.",
    "axle": "Axle in to its torque, in its thread state, before the pinch bolt.",
    "pinch": "Unit pressed in and let out once or twice with the axle in; then the pinch bolt to its torque.",
    "caliper": "Caliper bolts to their torque; rotor clean; lever firm.",
    "hose": "Hose in its guides, clear of tyre and crown over the whole travel and full lock both ways.",
    "headset": "Headset without play, turning free from stop to stop.",
    "bars": "Bars and stem straight, to their torque, in the maker's order.",
    "brake": "Brake pull test: front brake on, push hard from behind; nothing creeps, nothing knocks.",
}
"""What is put back together and looked at before anyone rides, by its name: common practice, no source."""


def mistake_text(mistake: Mistake | None, choice: UnitChoice) -> str:
    """A mistake and how much of it: "wrong count of volume spacers, 1 too many"."""
    if mistake is None:
        return "as it should be"
    kind, amount = mistake.kind, mistake.amount
    if kind in _AMOUNTS:
        return f"{kind}, {quantities.number_text(amount, _AMOUNTS[kind], choice)}"
    if kind is MistakeKind.CLOSED_COLD:
        return f"{kind}, by {amount:g} °C"
    if kind in (MistakeKind.TRAVEL_SPACERS, MistakeKind.VOLUME_SPACERS):
        return f"{kind}, {abs(amount):g} too {'many' if amount > 0 else 'few'}"
    if kind in (MistakeKind.TRANSFER_PORT_BEHIND, MistakeKind.TRANSFER_PORT_AHEAD):
        return f"{kind}, {quantities.count_text(round(amount), 'position')}"
    return str(kind)


def reading_words(key: str) -> tuple[str, str]:
    """What a reading is called and how it is taken; whose sag it is stands in its name."""
    for who, whose in (("_rider", "with the rider"), ("_technician", "with the technician as a known mass")):
        if key.endswith(who):
            name, how = _READINGS[key.removesuffix(who)]
            return f"{name}, {whose}", how
    return _READINGS[key]


def final_check_words(key: str) -> str:
    """What is read or looked at in the final check is called."""
    if key.startswith(BACK):
        return BACK_TOGETHER[key.removeprefix(BACK)]
    return "Outside and accepted" if key == ACCEPTED else reading_words(key)[0]
