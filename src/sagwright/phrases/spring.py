"""Load, aim, settings and candidates in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sagwright.domain.build import Build, Charge, StackSetting
from sagwright.domain.intake import Aim, AimKind, Wish
from sagwright.domain.load import Load, LoadHow
from sagwright.domain.plan import Behaviour, Candidate, FrictionView, Noticeable
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Figure, Quantity, Unknown, Value
from sagwright.phrases import figures
from sagwright.phrases.behaviours import TERMS
from sagwright.units import Choice

OFF_BY: Final = 1  # decimals of a distance
SECOND_VALVE: Final = "second chamber"
NEGATIVE_VALVE: Final = "negative chamber"
_SHORT: Final = {"second_gauge": "second", "negative_gauge": "nega-\ntive"}
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
        *(
            f"{name} {figures.number(gauge.si, Quantity.PRESSURE, choice)}".strip()
            for name, gauge in (("", wish.pressure_gauge), (SECOND_VALVE, wish.second_gauge))
            if gauge
        ),
        f"{NEGATIVE_VALVE} {figures.number(wish.negative_gauge.si, Quantity.PRESSURE, choice)}"
        if wish.negative_gauge
        else "",
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
    main = figures.number(build.charge.pressure_gauge.si, Quantity.PRESSURE, choice) + uncycled
    return "; ".join([main, *own_texts(build.charge, choice)])


def own_texts(charge: Charge, choice: Choice) -> Iterator[str]:
    """The pressures that are said of chambers with a valve of their own."""
    for name, gauge in ((SECOND_VALVE, charge.second_gauge), (NEGATIVE_VALVE, charge.negative_gauge)):
        if gauge is not None:
            yield f"{name} {figures.number(gauge.si, Quantity.PRESSURE, choice)}"


def valves_of(sheet: Sheet) -> tuple[str, ...]:
    """The fields of a charge that the sheet has a valve of its own for."""
    spring = sheet.spring
    there = {"negative_gauge": spring.negative_gauge is not None, "second_gauge": spring.second is not None}
    return tuple(field for field, has in there.items() if has)


def candidate_headings(sheet: Sheet, choice: Choice) -> tuple[str, ...]:
    """The columns of the candidates, with units: volume spacers, pressures, behaviours, distance."""
    behaviours = (f"{term.short}\n{choice.unit(term.quantity)}".rstrip() for term in TERMS)
    unit = choice.unit(Quantity.PRESSURE)
    own = (f"{_SHORT[field]}\n{unit}" for field in valves_of(sheet))
    return ("volume\nspacers", unit, *own, *behaviours, "off\nby")


def candidate_cells(candidate: Candidate, sheet: Sheet, choice: Choice) -> tuple[str, ...]:
    """A candidate's numbers under those headings."""
    return (
        _count_cell(candidate.build.volume_spacers),
        figures.in_column(candidate.pressure_gauge, Quantity.PRESSURE, choice),
        *_own_cells(candidate.build, sheet, choice),
        *behaviour_cells(candidate.behaviour, choice),
        distance_text(candidate, choice),
    )


def _own_cells(build: Build, sheet: Sheet, choice: Choice) -> Iterator[str]:
    for field in valves_of(sheet):
        gauge: Value | None = getattr(build.charge, field, None)
        yield "?" if gauge is None else figures.in_column(gauge.si, Quantity.PRESSURE, choice)


def as_found_cells(build: Build, behaviour: Behaviour, sheet: Sheet, choice: Choice) -> tuple[str, ...]:
    """The same for one possible as-found build."""
    charge = build.charge
    pressure = (
        "?" if isinstance(charge, Unknown) else figures.in_column(charge.pressure_gauge.si, Quantity.PRESSURE, choice)
    )
    own = _own_cells(build, sheet, choice)
    return (_count_cell(build.volume_spacers), pressure, *own, *behaviour_cells(behaviour, choice), "")


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


def friction_text(view: FrictionView, choice: Choice) -> str:
    """Sag from both sides, and what starts the fork with and without its wheel."""
    lifted, pressed = (
        figures.in_column(sag, Quantity.LENGTH, choice) for sag in (view.sag.after_lifting, view.sag.after_pressing)
    )
    length, force = choice.unit(Quantity.LENGTH), Quantity.FORCE
    alone, clamped = (figures.number(one, force, choice) for one in (view.breakaway, view.breakaway_with_wheel))
    return (
        f"sags {lifted} {length} after lifting, {pressed} {length} after pressing; starts at {alone} alone, about"
        f" {clamped} with the wheel in"
    )


def doubts_meaning(sag_tells: float | None, choice: Choice) -> str:
    """What ± stands for, and how little a sag says about the pressure."""
    meaning = (
        "±: one standard uncertainty, from the sheet's tolerances, the pump's gauge, the load and the friction; "
        "empty where one of them is not known."
    )
    if sag_tells is None:
        return meaning
    told = figures.bare_difference(sag_tells, Quantity.PRESSURE, choice)
    unit = choice.unit(Quantity.PRESSURE)
    return f"{meaning} A sag read with a rider can be off by 4 to 5 mm, so it proves a pressure to {told} {unit} only."


def distance_meaning(noticeable: Noticeable, choice: Choice) -> str:
    """What a distance is counted in."""
    sag = figures.number(noticeable.sag, Quantity.FRACTION, choice)
    breakaway = figures.number(noticeable.breakaway, Quantity.FORCE, choice)
    relative = figures.number(noticeable.relative, Quantity.FRACTION, choice)
    return (
        "Off by: distance from the aim, in differences a rider just notices, which are assumed: "
        f"sag {sag} of travel, breakaway {breakaway}, the others {relative}."
    )
