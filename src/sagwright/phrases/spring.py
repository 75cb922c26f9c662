"""Load, aim, settings and options in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from statistics import median
from typing import Final

from sagwright.domain.behaviour import Behaviour, FrictionView, Noticeable, Option, SpringView
from sagwright.domain.coil_spring import CoilSpring
from sagwright.domain.intake import Aim, AimKind, Wish
from sagwright.domain.measuring import RING_READING
from sagwright.domain.setup import Charge, CoilFitting, Setup, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.value import Measured, Quantity, Unknown, Value
from sagwright.phrases import quantities
from sagwright.phrases.coil import coil_name, turns_text
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS
from sagwright.units import UnitChoice

READ_BY: Final = {"air": "the pump's gauge", "coil": "the adjuster's turns"}
"""What a kind of spring is set by."""

COLUMNS_WITH_UNCERTAINTY: Final = ("sag", "breakaway", "mid_stroke_support", "ramp_up", "capacity")
MISMATCH_DECIMALS: Final = 1  # decimals of a mismatch
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


def load_text(load: Load | None, choice: UnitChoice) -> str:
    """A load [N] and where it comes from."""
    if load is None:
        return "unknown, so nothing that depends on it is computed"
    shown = quantities.figure(load.force.of(Quantity.FORCE), choice)
    spread = " (standard uncertainty)" if load.force.u else ""
    return f"{shown}{spread}, {HOW[load.how]}"


def aim_text(aim: Aim | None, choice: UnitChoice) -> str:
    """An aim, as in "a sag of 20 % of travel"."""
    if aim is None:
        return "aim left open"
    match aim.kind:
        case AimKind.AS_IT_RODE:
            return "as it rode"
        case AimKind.CAPACITY:
            return f"a capacity of {quantities.number_text(aim.capacity or 0.0, Quantity.ENERGY, choice)}"
        case AimKind.SAG:
            return f"a sag of {_sag(aim, choice)}"


def _sag(aim: Aim, choice: UnitChoice) -> str:
    if aim.sag_fraction is not None:
        return f"{quantities.number_text(aim.sag_fraction, Quantity.FRACTION, choice)} of travel"
    return quantities.number_text(aim.sag or 0.0, Quantity.LENGTH, choice)


def wish_line(wish: Wish, choice: UnitChoice) -> str:
    """A wish, and what of it is pinned."""
    valves = (("", wish.pressure_gauge), (SECOND_VALVE, wish.second_gauge), (NEGATIVE_VALVE, wish.negative_gauge))
    pinned = [
        *_pinned(wish.travel_spacers, "travel spacer"),
        *_pinned(wish.volume_spacers, "volume spacer"),
        *(f"{name} {quantities.number_text(one.si, Quantity.PRESSURE, choice)}".strip() for name, one in valves if one),
        *([] if wish.coil is None else [f"coil {coil_name(wish.coil)}"]),
        *_pinned(wish.preload_spacers, "preload spacer"),
    ]
    travel = f"{quantities.number_text(wish.travel.si, Quantity.LENGTH, choice)} of travel"
    return "; ".join([travel, aim_text(wish.aim, choice), *pinned])


def _pinned(many: int | None, noun: str) -> list[str]:
    return [] if many is None else [quantities.count_text(many, noun)]


def _spacers_pinned(wished: Mapping[str, int | None]) -> Iterator[str]:
    for name, many in wished.items():
        if many is not None:
            yield quantities.count_text(many, f"{name} spacer")


def setup_text(setup: Setup, choice: UnitChoice, sheet: Sheet | None = None) -> str:
    """The settings of a setup, as far as they are known; an adjuster's turns where the sheet gives its range."""
    if setup.fitting is not None:
        return "; ".join([_of_coil_fork(setup, choice), *_fitting_text(setup.fitting, sheet, choice)])
    volume = _counted(setup.volume_spacers, "volume spacer")
    return "; ".join([_setting_text(setup, choice), volume, pressure_text(setup, choice)])


def _fitting_text(fitting: CoilFitting, sheet: Sheet | None, choice: UnitChoice) -> Iterator[str]:
    yield f"coil {coil_name(fitting.coil)}"
    yield _counted(fitting.preload_spacers, "preload spacer")
    if sheet is not None and sheet.coil.stack.range.si:
        yield f"adjuster {turns_text(fitting.adjuster, sheet.coil, choice)}"


def _of_coil_fork(setup: Setup, choice: UnitChoice) -> str:
    """What sets the travel of a coil fork."""
    setting = setup.setting
    if isinstance(setting, ShaftSetting) and not isinstance(setting.shaft_travel, Unknown):
        return f"fixed at {quantities.number_text(setting.shaft_travel, Quantity.LENGTH, choice)}"
    return _setting_text(setup, choice)


def _setting_text(setup: Setup, choice: UnitChoice) -> str:
    setting = setup.setting
    if isinstance(setting, StackSetting):
        hole = _known(setting.port_position)
        return f"{_counted(setting.travel_spacers, 'travel spacer')}, port position {hole}"
    if isinstance(setting, TopOutSetting):
        return _counted(setting.top_out_spacers, "top-out spacer")
    if isinstance(setting.shaft_travel, Unknown):
        return f"air shaft {quantities.UNKNOWN[setting.shaft_travel]}"
    return f"air shaft for {quantities.number_text(setting.shaft_travel, Quantity.LENGTH, choice)}"


def _counted(many: int | Unknown, noun: str) -> str:
    return f"{noun}s {_known(many)}" if isinstance(many, Unknown) else quantities.count_text(many, noun)


def _known(number: int | Unknown) -> str:
    return quantities.UNKNOWN[number] if isinstance(number, Unknown) else str(number)


def pressure_text(setup: Setup, choice: UnitChoice) -> str:
    """The pressure of a setup's charge."""
    if isinstance(setup.charge, Unknown):
        return f"pressure {quantities.UNKNOWN[setup.charge]}"
    uncycled = "" if setup.charge.cycled else ", not cycled"
    main = quantities.number_text(setup.charge.pressure_gauge.si, Quantity.PRESSURE, choice) + uncycled
    return "; ".join([main, *own_valve_texts(setup.charge, choice)])


def own_valve_texts(charge: Charge, choice: UnitChoice) -> Iterator[str]:
    """The pressures of chambers with a valve of their own, where they are known."""
    for name, gauge in ((SECOND_VALVE, charge.second_gauge), (NEGATIVE_VALVE, charge.negative_gauge)):
        if gauge is not None:
            yield f"{name} {quantities.number_text(gauge.si, Quantity.PRESSURE, choice)}"


def option_headings(sheet: Sheet, choice: UnitChoice) -> tuple[str, ...]:
    """The columns of the options, with units: volume spacers and pressures, or coil, preload spacers, turns of the
    adjuster and preload; then behaviours and mismatch."""
    behaviours = (f"{term.short}\n{choice.unit(term.quantity)}".rstrip() for term in BEHAVIOUR_TERMS)
    unit = choice.unit(Quantity.PRESSURE)
    own = {
        "air": ("volume\nspacers", unit, *(f"{_SHORT[valve.field]}\n{unit}" for valve in sheet.spring.own_valves)),
        "coil": ("coil", "pre-\nload\nspa-\ncers", "turns", f"pre-\nload\n{choice.unit(Quantity.LENGTH)}"),
    }
    return (*own[sheet.spring.kind], *behaviours, "mis-\nmatch")


def option_cells(option: Option, sheet: Sheet, choice: UnitChoice) -> tuple[str, ...]:
    """The numbers of an option under `option_headings`."""
    own = _set_cells(option.setup, sheet, choice, option.preload)
    return (*own, *behaviour_cells(option.behaviour, choice), distance_text(option, choice))


def as_found_cells(
    setup: Setup, behaviour: Behaviour, sheet: Sheet, choice: UnitChoice, *, preload: float | None = None
) -> tuple[str, ...]:
    """The numbers of a possible as-found setup under `option_headings`; the preload of a coil is its total [m]."""
    return (*_set_cells(setup, sheet, choice, preload), *behaviour_cells(behaviour, choice), "")


def _set_cells(setup: Setup, sheet: Sheet, choice: UnitChoice, preload: float | None) -> tuple[str, ...]:
    """What a setup is set to."""
    fitting, charge = setup.fitting, setup.charge
    if fitting is None:
        gauge = None if isinstance(charge, Unknown) else charge.pressure_gauge.si
        main = _cell(gauge, Quantity.PRESSURE, choice)
        return (_count_cell(setup.volume_spacers), main, *_own_cells(setup, sheet, choice))
    name = "?" if isinstance(fitting.coil, Unknown) else coil_name(fitting.coil)
    turns, pressed = _turns(fitting, sheet.coil, choice), _cell(preload, Quantity.LENGTH, choice)
    return name, _count_cell(fitting.preload_spacers), turns, pressed


def _own_cells(setup: Setup, sheet: Sheet, choice: UnitChoice) -> Iterator[str]:
    for valve in sheet.spring.own_valves:
        gauge: Value | None = getattr(setup.charge, valve.field, None)
        yield _cell(None if gauge is None else gauge.si, Quantity.PRESSURE, choice)


def _cell(number: float | None, quantity: Quantity, choice: UnitChoice) -> str:
    return "?" if number is None else quantities.in_column(number, quantity, choice)


def _turns(fitting: CoilFitting, coil: CoilSpring, choice: UnitChoice) -> str:
    if isinstance(fitting.adjuster, Unknown):
        return "?"
    per_turn = coil.stack.per_turn.si
    return f"{fitting.adjuster / per_turn:.1f}".replace(".", choice.decimal) if per_turn else "–"


def _count_cell(many: int | Unknown) -> str:
    return "?" if isinstance(many, Unknown) else str(many)


def behaviour_cells(behaviour: Behaviour, choice: UnitChoice) -> tuple[str, ...]:
    """The number of every behaviour, with all decimals of its column."""
    return tuple(quantities.in_column(term.of(behaviour).value, term.quantity, choice) for term in BEHAVIOUR_TERMS)


def distance_text(option: Option, choice: UnitChoice) -> str:
    """The mismatch from the aim; a range where as found may turn out to be several setups."""
    low, high = (
        f"{each:.{MISMATCH_DECIMALS}f}".replace(".", choice.decimal) for each in (option.mismatch_low, option.mismatch)
    )
    return high if low == high else f"{low}–{high}"


def exponents_text(view: SpringView, choice: UnitChoice) -> str:
    """Which exponent stands behind which number, and how far an ideal gas at the stroke's is from real air."""
    slow, stroke = (f"{n:g}".replace(".", choice.decimal) for n in (view.slow_exponent, view.stroke_exponent))
    text = f"n = {slow} (slow) for sag and breakaway, n = {stroke} (stroke) for the others"
    return text if view.ideal_error is None else f"{text}; {ideal_text(view.ideal_error, choice)}"


def ideal_text(error: float, choice: UnitChoice) -> str:
    """By how much an ideal gas at a fixed exponent differs from real air, in percent."""
    way = "under" if error < 0 else "over"
    share = f"{abs(error) * 100:.1f} %".replace(".", choice.decimal)
    return f"as an ideal gas, which {way}-reads real air by {share} in the positive chamber at full travel"


def friction_text(view: FrictionView, choice: UnitChoice) -> str:
    """Sag after lifting and after pressing, and the force that starts the fork with and without its wheel."""
    lifted, pressed = (
        quantities.in_column(sag, Quantity.LENGTH, choice) for sag in (view.sag.after_lifting, view.sag.after_pressing)
    )
    length, force = choice.unit(Quantity.LENGTH), Quantity.FORCE
    alone, clamped = (quantities.number_text(one, force, choice) for one in (view.breakaway, view.breakaway_with_wheel))
    return (
        f"sags {lifted} {length} after lifting, {pressed} {length} after pressing; starts to move at {alone}, at "
        f"about {clamped} with the wheel in"
    )


def uncertainties_meaning(sag_tells: float | None, choice: UnitChoice, sheet: Sheet) -> str:
    """What ± means, which readings it includes, and how closely a sag shows a pressure."""
    reading = READ_BY[sheet.spring.kind]
    meaning = (
        f"±: one standard uncertainty, from the sheet's tolerances, {reading}, the load and the friction; "
        "empty where one of them is not known."
    )
    if sag_tells is None:
        return meaning
    off, told = (
        quantities.number_text(RING_READING.half_width, Quantity.LENGTH, choice),
        quantities.number_text(sag_tells, Quantity.PRESSURE, choice),
    )
    return f"{meaning} A sag read with a rider may be wrong by {off}, so it shows a pressure to within {told} only."


def options_uncertainty(options: Sequence[Option], choice: UnitChoice) -> str:
    """How well the columns of options are known: the middle of their standard uncertainties; empty where none is."""
    told = list(_told("pressure", [one.pressure_gauge for one in options], choice))
    for term in BEHAVIOUR_TERMS:
        if term.field in COLUMNS_WITH_UNCERTAINTY:
            told += _told(term.name, [term.of(one.behaviour) for one in options], choice, quantity=term.quantity)
    return f"Known to about (one standard uncertainty, middle of the rows): {', '.join(told)}." if told else ""


def _told(
    name: str, column: Sequence[Measured | None], choice: UnitChoice, *, quantity: Quantity = Quantity.PRESSURE
) -> Iterator[str]:
    known = [one.u for one in column if one is not None and one.u is not None]
    if known:
        shown = quantities.uncertainty_in_column(median(known), quantity, choice)
        yield f"{name} ± {shown} {choice.unit(quantity)}".rstrip()


def distance_meaning(noticeable: Noticeable, choice: UnitChoice) -> str:
    """The unit in which a mismatch is counted."""
    sag = quantities.number_text(noticeable.sag, Quantity.FRACTION, choice)
    breakaway = quantities.number_text(noticeable.breakaway, Quantity.FORCE, choice)
    relative = quantities.number_text(noticeable.relative, Quantity.FRACTION, choice)
    return (
        "Mismatch: difference from the aim, in just-noticeable differences (assumed): "
        f"sag {sag} of travel, breakaway {breakaway}, the others {relative}."
    )
