"""Load, aim, settings and candidates in words."""

from __future__ import annotations

from typing import Final

from sagwright.domain.build import Build, StackSetting
from sagwright.domain.intake import Aim, AimKind, Wish
from sagwright.domain.load import Load, LoadHow
from sagwright.domain.plan import Behaviour, Candidate, Noticeable
from sagwright.domain.value import Figure, Quantity, Unknown
from sagwright.phrases import figures
from sagwright.phrases.behaviours import TERMS
from sagwright.units import Choice

OFF_BY: Final = 1  # decimals of a distance
HOW: Final = {
    LoadHow.GIVEN: "as given",
    LoadHow.SHARE: "the mass times the front share",
    LoadHow.SCALE: "from a scale under the front wheel",
    LoadHow.POSTURE: "from masses, posture and how the bike stands at sag",
    LoadHow.ASSUMED: "assumed, as what the unit as found carries at 20 % of its travel",
}


def load_text(load: Load | None, choice: Choice) -> str:
    """A load and which way it was got."""
    if load is None:
        return "unknown, so nothing can be said that depends on it"
    shown = figures.figure(Figure(load.force, Quantity.FORCE, load.u), choice)
    spread = " (standard uncertainty)" if load.u else ""
    return f"{shown}{spread}, {HOW[load.how]}"


def aim_text(aim: Aim | None, choice: Choice) -> str:
    """An aim, as in "a sag of 20 % of travel"."""
    if aim is None:
        return "aim left open"
    match aim.kind:
        case AimKind.AS_IT_RODE:
            return "as it rode"
        case AimKind.CAPACITY:
            return f"a capacity of {figures.number(aim.capacity or 0.0, Quantity.ENERGY, choice)}"
        case AimKind.SAG:
            return f"a sag of {_sag(aim, choice)}"


def _sag(aim: Aim, choice: Choice) -> str:
    if aim.sag_fraction is not None:
        return f"{figures.number(aim.sag_fraction, Quantity.FRACTION, choice)} of travel"
    return figures.number(aim.sag or 0.0, Quantity.LENGTH, choice)


def wish_text(wish: Wish, choice: Choice) -> str:
    """A wish, and what of it is pinned."""
    pinned = [
        figures.count(wish.travel_spacers, "travel spacer") if wish.travel_spacers is not None else "",
        figures.count(wish.volume_spacers, "volume spacer") if wish.volume_spacers is not None else "",
        figures.number(wish.pressure_gauge.si, Quantity.PRESSURE, choice) if wish.pressure_gauge else "",
    ]
    travel = f"{figures.number(wish.travel.si, Quantity.LENGTH, choice)} of travel"
    return "; ".join([travel, aim_text(wish.aim, choice), *filter(None, pinned)])


def build_text(build: Build, choice: Choice) -> str:
    """The settings of a build, as far as they are known."""
    volume = _counted(build.volume_spacers, "volume spacer")
    return "; ".join([_setting_text(build, choice), volume, pressure_text(build, choice)])


def _setting_text(build: Build, choice: Choice) -> str:
    setting = build.setting
    if isinstance(setting, StackSetting):
        hole = _known(setting.equaliser_hole)
        return f"{_counted(setting.travel_spacers, 'travel spacer')}, equaliser hole {hole}"
    if isinstance(setting.shaft_travel, Unknown):
        return f"air shaft {figures.UNKNOWN[setting.shaft_travel]}"
    return f"air shaft for {figures.number(setting.shaft_travel, Quantity.LENGTH, choice)}"


def _counted(many: int | Unknown, noun: str) -> str:
    return f"{noun}s {_known(many)}" if isinstance(many, Unknown) else figures.count(many, noun)


def _known(number: int | Unknown) -> str:
    return figures.UNKNOWN[number] if isinstance(number, Unknown) else str(number)


def pressure_text(build: Build, choice: Choice) -> str:
    """The pressure of a build's charge."""
    if isinstance(build.charge, Unknown):
        return f"pressure {figures.UNKNOWN[build.charge]}"
    uncycled = "" if build.charge.cycled else ", not cycled"
    return figures.number(build.charge.pressure_gauge.si, Quantity.PRESSURE, choice) + uncycled


def candidate_headings(choice: Choice) -> tuple[str, ...]:
    """The columns of the candidates, with units: volume spacers, pressure, behaviours, distance."""
    behaviours = (f"{term.short}\n{choice.unit(term.quantity)}".rstrip() for term in TERMS)
    return ("volume\nspacers", choice.unit(Quantity.PRESSURE), *behaviours, "off\nby")


def candidate_cells(candidate: Candidate, choice: Choice) -> tuple[str, ...]:
    """A candidate's numbers under those headings."""
    return (
        _count_cell(candidate.build.volume_spacers),
        figures.in_column(candidate.pressure_gauge, Quantity.PRESSURE, choice),
        *behaviour_cells(candidate.behaviour, choice),
        distance_text(candidate, choice),
    )


def as_found_cells(build: Build, behaviour: Behaviour, choice: Choice) -> tuple[str, ...]:
    """The same for one possible as-found build."""
    charge = build.charge
    pressure = (
        "?" if isinstance(charge, Unknown) else figures.in_column(charge.pressure_gauge.si, Quantity.PRESSURE, choice)
    )
    return (_count_cell(build.volume_spacers), pressure, *behaviour_cells(behaviour, choice), "")


def _count_cell(many: int | Unknown) -> str:
    return "?" if isinstance(many, Unknown) else str(many)


def behaviour_cells(behaviour: Behaviour, choice: Choice) -> tuple[str, ...]:
    """Every behaviour's number, decimals kept."""
    return tuple(figures.in_column(term.of(behaviour), term.quantity, choice) for term in TERMS)


def distance_text(candidate: Candidate, choice: Choice) -> str:
    """How far from the aim; a range where as found may turn out to be several things."""
    low, high = (
        f"{each:.{OFF_BY}f}".replace(".", choice.decimal) for each in (candidate.distance_low, candidate.distance)
    )
    return high if low == high else f"{low}–{high}"


def distance_meaning(noticeable: Noticeable, choice: Choice) -> str:
    """What a distance is counted in."""
    sag = figures.number(noticeable.sag, Quantity.FRACTION, choice)
    breakaway = figures.number(noticeable.breakaway, Quantity.FORCE, choice)
    relative = figures.number(noticeable.relative, Quantity.FRACTION, choice)
    return (
        "Off by: distance from the aim, in differences a rider just notices, which are assumed: "
        f"sag {sag} of travel, breakaway {breakaway}, the others {relative}."
    )
