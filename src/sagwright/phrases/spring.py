"""Load, aim, settings and candidates in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from statistics import median
from typing import Final

from sagwright.domain.behaviour import Behaviour, Candidate, FrictionView, Noticeable, SpringView
from sagwright.domain.build import Build, Charge, CoilFitting, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.coil_spring import CoilSpring
from sagwright.domain.intake import Aim, AimKind, Wish
from sagwright.domain.measuring import RING_ALL_TOLD
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.value import Measured, Quantity, Unknown, Value
from sagwright.phrases import quantities
from sagwright.phrases.coil import coil_name, turns_text
from sagwright.phrases.spring_terms import TERMS
from sagwright.units import Choice

READ_BY: Final = {"air": "the pump's gauge", "coil": "the adjuster's turns"}
"""What a kind of spring is set by."""

COLUMNS_DOUBTED: Final = ("sag", "breakaway", "mid_support", "end_rise", "capacity")
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
    shown = quantities.figure(load.force.of(Quantity.FORCE), choice)
    spread = " (standard uncertainty)" if load.force.u else ""
    return f"{shown}{spread}, {HOW[load.how]}"


def aim_text(aim: Aim | None, choice: Choice) -> str:
    """An aim, as in "a sag of 20 % of travel"."""
    if aim is None:
        return "aim left open"
    match aim.kind:
        case AimKind.AS_IT_RODE:
            return "as it rode"
        case AimKind.CAPACITY:
            return f"a capacity of {quantities.number(aim.capacity or 0.0, Quantity.ENERGY, choice)}"
        case AimKind.SAG:
            return f"a sag of {_sag(aim, choice)}"


def _sag(aim: Aim, choice: Choice) -> str:
    if aim.sag_fraction is not None:
        return f"{quantities.number(aim.sag_fraction, Quantity.FRACTION, choice)} of travel"
    return quantities.number(aim.sag or 0.0, Quantity.LENGTH, choice)


def wish_text(wish: Wish, choice: Choice) -> str:
    """A wish, and what of it is pinned."""
    valves = (("", wish.pressure_gauge), (SECOND_VALVE, wish.second_gauge), (NEGATIVE_VALVE, wish.negative_gauge))
    pinned = [
        *_pinned(wish.travel_spacers, "travel spacer"),
        *_pinned(wish.volume_spacers, "volume spacer"),
        *(f"{name} {quantities.number(one.si, Quantity.PRESSURE, choice)}".strip() for name, one in valves if one),
        *([] if wish.coil is None else [f"coil {coil_name(wish.coil)}"]),
        *_pinned(wish.preload_spacers, "preload spacer"),
    ]
    travel = f"{quantities.number(wish.travel.si, Quantity.LENGTH, choice)} of travel"
    return "; ".join([travel, aim_text(wish.aim, choice), *pinned])


def _pinned(many: int | None, noun: str) -> list[str]:
    return [] if many is None else [quantities.count(many, noun)]


def _spacers_pinned(wished: Mapping[str, int | None]) -> Iterator[str]:
    for name, many in wished.items():
        if many is not None:
            yield quantities.count(many, f"{name} spacer")


def build_text(build: Build, choice: Choice, sheet: Sheet | None = None) -> str:
    """The settings of a build, as far as they are known; with those that a spec sheet gives a scale."""
    if build.fitting is not None:
        return "; ".join([_of_coil_fork(build, choice), *_fitting_text(build.fitting, sheet, choice)])
    volume = _counted(build.volume_spacers, "volume spacer")
    return "; ".join([_setting_text(build, choice), volume, pressure_text(build, choice)])


def _fitting_text(fitting: CoilFitting, sheet: Sheet | None, choice: Choice) -> Iterator[str]:
    yield f"coil {coil_name(fitting.coil)}"
    yield _counted(fitting.preload_spacers, "preload spacer")
    if sheet is not None and sheet.coil.stack.range.si:
        yield f"adjuster {turns_text(fitting.adjuster, sheet.coil, choice)}"


def _of_coil_fork(build: Build, choice: Choice) -> str:
    """What sets the travel of a coil fork."""
    setting = build.setting
    if isinstance(setting, ShaftSetting) and not isinstance(setting.shaft_travel, Unknown):
        return f"fixed at {quantities.number(setting.shaft_travel, Quantity.LENGTH, choice)}"
    return _setting_text(build, choice)


def _setting_text(build: Build, choice: Choice) -> str:
    setting = build.setting
    if isinstance(setting, StackSetting):
        hole = _known(setting.equaliser_hole)
        return f"{_counted(setting.travel_spacers, 'travel spacer')}, equaliser hole {hole}"
    if isinstance(setting, TopOutSetting):
        return _counted(setting.top_out_spacers, "top-out spacer")
    if isinstance(setting.shaft_travel, Unknown):
        return f"air shaft {quantities.UNKNOWN[setting.shaft_travel]}"
    return f"air shaft for {quantities.number(setting.shaft_travel, Quantity.LENGTH, choice)}"


def _counted(many: int | Unknown, noun: str) -> str:
    return f"{noun}s {_known(many)}" if isinstance(many, Unknown) else quantities.count(many, noun)


def _known(number: int | Unknown) -> str:
    return quantities.UNKNOWN[number] if isinstance(number, Unknown) else str(number)


def pressure_text(build: Build, choice: Choice) -> str:
    """The pressure of a build's charge."""
    if isinstance(build.charge, Unknown):
        return f"pressure {quantities.UNKNOWN[build.charge]}"
    uncycled = "" if build.charge.cycled else ", not cycled"
    main = quantities.number(build.charge.pressure_gauge.si, Quantity.PRESSURE, choice) + uncycled
    return "; ".join([main, *own_texts(build.charge, choice)])


def own_texts(charge: Charge, choice: Choice) -> Iterator[str]:
    """The pressures that are said of chambers with a valve of their own."""
    for name, gauge in ((SECOND_VALVE, charge.second_gauge), (NEGATIVE_VALVE, charge.negative_gauge)):
        if gauge is not None:
            yield f"{name} {quantities.number(gauge.si, Quantity.PRESSURE, choice)}"


def candidate_headings(sheet: Sheet, choice: Choice) -> tuple[str, ...]:
    """The columns of the candidates, with units: volume spacers and pressures, or coil, preload spacers, turns of the
    adjuster and preload; then behaviours and distance."""
    behaviours = (f"{term.short}\n{choice.unit(term.quantity)}".rstrip() for term in TERMS)
    unit = choice.unit(Quantity.PRESSURE)
    own = {
        "air": ("volume\nspacers", unit, *(f"{_SHORT[valve.field]}\n{unit}" for valve in sheet.spring.own_valves)),
        "coil": ("coil", "preload\nspacers", "turns", f"preload\n{choice.unit(Quantity.LENGTH)}"),
    }
    return (*own[sheet.spring.kind], *behaviours, "off\nby")


def candidate_cells(candidate: Candidate, sheet: Sheet, choice: Choice) -> tuple[str, ...]:
    """A candidate's numbers under those headings."""
    own = _set_cells(candidate.build, sheet, choice, candidate.preload)
    return (*own, *behaviour_cells(candidate.behaviour, choice), distance_text(candidate, choice))


def as_found_cells(
    build: Build, behaviour: Behaviour, sheet: Sheet, choice: Choice, *, preload: float | None = None
) -> tuple[str, ...]:
    """The same for one possible as-found build; the preload of a coil is its whole [m]."""
    return (*_set_cells(build, sheet, choice, preload), *behaviour_cells(behaviour, choice), "")


def _set_cells(build: Build, sheet: Sheet, choice: Choice, preload: float | None) -> tuple[str, ...]:
    """What a build is set to."""
    fitting, charge = build.fitting, build.charge
    if fitting is None:
        gauge = None if isinstance(charge, Unknown) else charge.pressure_gauge.si
        main = _cell(gauge, Quantity.PRESSURE, choice)
        return (_count_cell(build.volume_spacers), main, *_own_cells(build, sheet, choice))
    name = "?" if isinstance(fitting.coil, Unknown) else coil_name(fitting.coil)
    turns, pressed = _turns(fitting, sheet.coil, choice), _cell(preload, Quantity.LENGTH, choice)
    return name, _count_cell(fitting.preload_spacers), turns, pressed


def _own_cells(build: Build, sheet: Sheet, choice: Choice) -> Iterator[str]:
    for valve in sheet.spring.own_valves:
        gauge: Value | None = getattr(build.charge, valve.field, None)
        yield _cell(None if gauge is None else gauge.si, Quantity.PRESSURE, choice)


def _cell(number: float | None, quantity: Quantity, choice: Choice) -> str:
    return "?" if number is None else quantities.in_column(number, quantity, choice)


def _turns(fitting: CoilFitting, coil: CoilSpring, choice: Choice) -> str:
    if isinstance(fitting.adjuster, Unknown):
        return "?"
    per_turn = coil.stack.per_turn.si
    return f"{fitting.adjuster / per_turn:.1f}".replace(".", choice.decimal) if per_turn else "–"


def _count_cell(many: int | Unknown) -> str:
    return "?" if isinstance(many, Unknown) else str(many)


def behaviour_cells(behaviour: Behaviour, choice: Choice) -> tuple[str, ...]:
    """Every behaviour's number, decimals kept."""
    return tuple(quantities.in_column(term.of(behaviour).value, term.quantity, choice) for term in TERMS)


def distance_text(candidate: Candidate, choice: Choice) -> str:
    """How far from the aim; a range where as found may turn out to be several things."""
    low, high = (
        f"{each:.{OFF_BY}f}".replace(".", choice.decimal) for each in (candidate.distance_low, candidate.distance)
    )
    return high if low == high else f"{low}–{high}"


def exponents_text(view: SpringView, choice: Choice) -> str:
    """Which exponent stands behind which number, and how far an ideal gas at the stroke's is from real air."""
    slow, stroke = (f"{n:g}".replace(".", choice.decimal) for n in (view.slow_exponent, view.stroke_exponent))
    text = f"n = {slow} (slow) for sag and breakaway, n = {stroke} (stroke) for the others"
    return text if view.ideal_error is None else f"{text}; {ideal_text(view.ideal_error, choice)}"


def ideal_text(error: float, choice: Choice) -> str:
    """What an ideal gas at a fixed exponent is off."""
    way = "under" if error < 0 else "over"
    share = f"{abs(error) * 100:.1f} %".replace(".", choice.decimal)
    return f"ideal gas, it {way}-reads real air by {share} in the positive chamber at full travel"


def friction_text(view: FrictionView, choice: Choice) -> str:
    """Sag from both sides, and what starts the fork with and without its wheel."""
    lifted, pressed = (
        quantities.in_column(sag, Quantity.LENGTH, choice) for sag in (view.sag.after_lifting, view.sag.after_pressing)
    )
    length, force = choice.unit(Quantity.LENGTH), Quantity.FORCE
    alone, clamped = (quantities.number(one, force, choice) for one in (view.breakaway, view.breakaway_with_wheel))
    return (
        f"sags {lifted} {length} after lifting, {pressed} {length} after pressing; starts at {alone} alone, about"
        f" {clamped} with the wheel in"
    )


def doubts_meaning(sag_tells: float | None, choice: Choice, sheet: Sheet) -> str:
    """What ± stands for, what was read beside the sheet, and how little a sag says about the pressure."""
    reading = READ_BY[sheet.spring.kind]
    meaning = (
        f"±: one standard uncertainty, from the sheet's tolerances, {reading}, the load and the friction; "
        "empty where one of them is not known."
    )
    if sag_tells is None:
        return meaning
    off, told = (
        quantities.number(RING_ALL_TOLD.half_width, Quantity.LENGTH, choice),
        quantities.number(sag_tells, Quantity.PRESSURE, choice),
    )
    return f"{meaning} A sag read with a rider can be off by {off}, so it proves a pressure to {told} only."


def candidates_doubt(candidates: Sequence[Candidate], choice: Choice) -> str:
    """How well the columns of candidates are known: the middle of their standard uncertainties; empty where none is."""
    told = list(_told("pressure", [one.pressure_gauge for one in candidates], choice))
    for term in TERMS:
        if term.field in COLUMNS_DOUBTED:
            told += _told(term.name, [term.of(one.behaviour) for one in candidates], choice, quantity=term.quantity)
    return f"Known to about (one standard uncertainty, middle of the rows): {', '.join(told)}." if told else ""


def _told(
    name: str, column: Sequence[Measured | None], choice: Choice, *, quantity: Quantity = Quantity.PRESSURE
) -> Iterator[str]:
    known = [one.u for one in column if one is not None and one.u is not None]
    if known:
        shown = quantities.doubt_in_column(median(known), quantity, choice)
        yield f"{name} ± {shown} {choice.unit(quantity)}".rstrip()


def distance_meaning(noticeable: Noticeable, choice: Choice) -> str:
    """What a distance is counted in."""
    sag = quantities.number(noticeable.sag, Quantity.FRACTION, choice)
    breakaway = quantities.number(noticeable.breakaway, Quantity.FORCE, choice)
    relative = quantities.number(noticeable.relative, Quantity.FRACTION, choice)
    return (
        "Off by: distance from the aim, in differences a rider just notices, which are assumed: "
        f"sag {sag} of travel, breakaway {breakaway}, the others {relative}."
    )
