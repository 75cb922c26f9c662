"""What a step does, in a few words: a verb for what its item is to the interlocks, or for the kind of thing it is.

A sheet names its items freely, so the kind is read from the name: its last word before "of", "in" or a comma. Thus oil
is drained and poured in, bolts are loosened and tightened, and a damper comes out of its stanchion, whoever wrote the
sheet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step

OWN_CHARGES: Final = (Role.SECOND_CHARGE, Role.NEGATIVE_CHARGE)

_ROLES: Final[dict[tuple[Act, Role | None], str]] = {
    (Act.OFF, Role.READINGS): "Write down the {name} as found",
    (Act.ON, Role.READINGS): "Prove the result: take the {name} again",
    (Act.OFF, Role.ADJUSTERS): "Record and open the {name}",
    (Act.ON, Role.ADJUSTERS): "Set the {name} back",
    (Act.OFF, Role.AIR_CHARGE): "Let out the {name} and prove the unit empty",
    (Act.OFF, Role.PRELOAD): "Count and back off the {name}",
    (Act.ON, Role.PRELOAD): "Turn in the {name}",
    (Act.OFF, Role.SECOND_CHARGE): "Let out the {name} and prove it out",
    (Act.OFF, Role.NEGATIVE_CHARGE): "Let out the {name} and prove it out",
    (Act.OFF, Role.FOOT_FASTENER): "Loosen the {name}",
    (Act.ON, Role.FOOT_FASTENER): "Tighten the {name}",
    (Act.OFF, Role.FOOT_SEAT): "Free the {name}",
    (Act.ON, Role.FOOT_SEAT): "Seat the {name}",
    (Act.OFF, Role.BATH_OIL): "Drain the {name}",
    (Act.ON, Role.BATH_OIL): "Pour in the {name}",
    (Act.CHANGE, Role.EQUALISER): "Set the {name}",
    (Act.OFF, Role.AIR_SHAFT): "Take out the {name}",
    (Act.OFF, Role.SPRING_SHAFT): "Take out the {name}",
    (Act.OFF, Role.COIL): "Take out the {name}",
}

_OUT: Final = "Take out the {name}", "Fit the {name}"
_PRESSED: Final = "Draw out the {name}", "Press in the {name}"
_KINDS: Final[dict[str, tuple[str, str]]] = {
    "oil": ("Drain the {name}", "Pour in the {name}"),
    "grease": ("Wipe off the old {name}", "Put on new {name}"),
    "bolt": ("Undo the {name}", "Fit and tighten the {name}"),
    "bolts": ("Loosen the {name}", "Tighten the {name}"),
    "wheel": ("Take out the {name}", "Put in the {name}"),
    "bushing": _PRESSED,
    "bushings": _PRESSED,
    "mounting hardware": ("Press out the {name}", "Press in the {name}"),
    "crown race": ("Drive off the {name}", "Drive on the {name}"),
    "threaded seal head": ("Unscrew the {name}", "Screw in the {name}"),
    "bleeders": ("Press the {name}", "Press the {name} again"),
    "cable": ("Unhook the {name}", "Hook in the {name}"),
    "damper": _OUT,
    "cartridge": _OUT,
    "damper rod": _OUT,
    "unit": _OUT,
    "needle": _OUT,
    "core": _OUT,
    "axle": _OUT,
    "retaining ring": _OUT,
    "foam rings": _OUT,
    "wiper": _OUT,
    "wipers": _OUT,
    "seal": _OUT,
}
"""Verbs for taking off and for putting back, by the kind of thing; else it is taken off and fitted."""

_PLACED: Final[dict[str, tuple[str, str]]] = {
    "fork": ("Take the {thing} out of {place}", "Put the {thing} in {place}"),
    "grease": ("Wipe the old {thing} out of {place}", "Grease {place} anew"),
}
"""The same where the name says what a thing is in."""

_ACTS: Final = {
    Act.OFF: "Take off the {name}",
    Act.ON: "Fit the {name}",
    Act.CHANGE: "Change the {name}",
    Act.PROVE: "Prove that the {name} holds",
    Act.INSPECT: "Inspect the {name}",
    Act.CHARGE: "Charge",
    Act.CYCLE: "Cycle the {name} through the equaliser",
    Act.MEASURE: "Measure the {name}",
    Act.BREAK: "Leave it safe for a break",
    Act.VERDICT: "End the work: write the verdict",
}
_CHARGES: Final = {
    ChargeStage.HOLDING: "Put in the holding charge",
    ChargeStage.RIDING: "Put in the riding charge",
    ChargeStage.FINAL: "Set the final pressure",
}
_AFTER: Final = re.compile(r",| (?:of|in|on|at|with) ")
_PLACE: Final = re.compile(r"(?P<thing>.+?) in (?P<place>.+)")


def title(step: Step, sheet: Sheet) -> str:
    """What a step does, in a few words; that it is done once more where it was done before."""
    again = step.act is not Act.BREAK and step.key.rpartition(":")[2].isdigit()
    return f"{_first(step, sheet)}, once more" if again else _first(step, sheet)


def _first(step: Step, sheet: Sheet) -> str:
    role = sheet.item(step.item).role
    if step.stage is not None:
        return f"Put in the {step.name}" if role in OWN_CHARGES else _CHARGES[step.stage]
    if step.key.startswith(f"{Act.MEASURE}:again"):
        return f"Prove the {step.name} again"
    place = _PLACE.fullmatch(step.name)
    kinds = _KINDS | _PLACED if place else _KINDS
    template = _ROLES.get((step.act, role)) or _by_kind(step, kinds) or _ACTS[step.act]
    return template.format(name=step.name, **(place.groupdict() if place else {}))


def _by_kind(step: Step, kinds: Mapping[str, tuple[str, str]]) -> str | None:
    """The verb of the longest kind that the thing's own words end in."""
    if step.act not in (Act.OFF, Act.ON):
        return None
    words = _AFTER.split(step.name, maxsplit=1)[0].split()
    endings = (" ".join(words[start:]) for start in range(len(words)))
    verbs = next((kinds[one] for one in endings if one in kinds), None)
    return None if verbs is None else verbs[step.act is Act.ON]
