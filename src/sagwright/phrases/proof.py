"""The readings after the work, and what would explain them, in words."""

from __future__ import annotations

from typing import Final

from sagwright.domain.proof import ACCEPTED, BACK

READINGS: Final = {
    "exposed_change": (
        "Exposed stanchion, now less as found",
        (
            "Topped out and charged, measure what shows of the stanchion between wiper and crown. Take off what it was "
            "found. Shorter is negative."
        ),
    ),
    "pressure_before": ("Pressure before cycling", "Topped out. Screw the pump on, read, and leave it on."),
    "pressure_after": (
        "Pressure after ten cycles",
        "With the pump left on, press the unit through its equaliser ten times, let it out slowly, and read again.",
    ),
    "breakaway": (
        "Force that starts it moving",
        "Axle out. Pull slowly with a luggage scale along the legs and read where it starts.",
    ),
    "sag_pressed": (
        "Sag after pressing",
        "Standing, level, brakes off, dampers open, kit on. Press down, let it come up by itself, read the ring.",
    ),
    "sag_lifted": ("Sag after lifting", "The same; lift it first, let it settle, read the ring."),
    "leak": (
        "Leak test",
        (
            "Leave the pump on, or leave the valve alone overnight. 15 minutes find a gross leak only. Write down both "
            "temperatures: pressure goes with them."
        ),
    ),
}
"""What a reading is called, and how it is taken."""

EXPLAINED: Final = {
    "not_cycled": "the charge was not cycled through the equaliser: it falls once and then stays. Set it again",
    "leak": "air is lost at valve, cap or a seal: soapy water at the valve, and wait",
    "gauge": "another pump, or one that is off: read again with the same pump as found",
    "spacer_too_many": "one travel spacer too many",
    "spacer_too_few": "one travel spacer too few",
    "port_behind_shortening": "the equaliser was left behind after shortening, or is plugged by grease: the negative "
    "chamber stays empty",
    "port_behind_lengthening": "the equaliser was left behind after lengthening: it opens late and the unit rests in "
    "its travel",
    "drawn_in": "it rests drawn in. If it won't extend it holds pressure: stop, pull no clip and no seal head",
    "clip_out": "the clip is not in its groove. Stop, let the air out, prove it empty, tug it",
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


def reading_words(key: str) -> tuple[str, str]:
    """What a reading is called and how it is taken; whose sag it is stands in its name."""
    for who, whose in (("_rider", "with the rider"), ("_technician", "with the technician as a known mass")):
        if key.endswith(who):
            name, how = READINGS[key.removesuffix(who)]
            return f"{name}, {whose}", how
    return READINGS[key]


def final_check_words(key: str) -> str:
    """What is read or looked at in the final check is called."""
    if key.startswith(BACK):
        return BACK_TOGETHER[key.removeprefix(BACK)]
    return "Outside and accepted" if key == ACCEPTED else reading_words(key)[0]
