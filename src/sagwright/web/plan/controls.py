"""The controls of a wish: what is set, what may be set, and why the rest may not. Controls set facts of the wish."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.behaviour import Option
from sagwright.domain.intake import Aim, AimKind, Intake, Wish
from sagwright.domain.plan import Selection
from sagwright.domain.value import Quantity
from sagwright.errors import InputError
from sagwright.phrases import findings, quantities
from sagwright.phrases.coil import coil_name
from sagwright.service.jobs.options import OfferedTravel, Offers
from sagwright.units import UnitChoice
from sagwright.web.http.form import Form
from sagwright.web.http.number_field import LONGEST, NumberField, Typed, read_number, sentence_of, shown_number

ControlFacts = tuple[tuple[str, str], ...]

_SAME: Final = 1e-6
"""Travels closer than this are one travel [m]."""

PRESSURE_STEP: Final = {"psi": "1", "bar": "0.05", "kPa": "5"}
_AIMS: Final = (
    ("as-it-rode", "as it rode"),
    ("sag", "a sag"),
    ("capacity", "a capacity"),
)
NOT_LIKE_BEFORE: Final = "aim.as-it-rode-not-offered"


@dataclass(frozen=True, slots=True)
class ControlOption:
    """One value of a control: what is sent, what is shown, a remark under it, whether it is set, whether it may be."""

    value: str
    text: str
    remark: str
    chosen: bool
    offered: bool


@dataclass(frozen=True, slots=True)
class Scale:
    """A choice of a few values: the field's name, what it is, the values, and why some are not offered."""

    name: str
    legend: str
    options: tuple[ControlOption, ...]
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Controls:
    """Every control of a wish.

    Attributes
    ----------
    scales : tuple of Scale
        Travel and volume spacers; of a coil fork travel, coil and preload spacers.
    pressure : NumberField or None
        None for a coil.
    aims : tuple of Option
    aim_reasons : tuple of str
        Why some of them are not offered.
    sag, capacity : NumberField
    """

    scales: tuple[Scale, ...]
    pressure: NumberField | None
    aims: tuple[ControlOption, ...]
    aim_reasons: tuple[str, ...]
    sag: NumberField
    capacity: NumberField


@dataclass(frozen=True, slots=True)
class Set:
    """What was set: facts for the wish, and what of it cannot be read, by the name of its field."""

    facts: ControlFacts
    typed: tuple[tuple[str, Typed], ...] = ()

    @property
    def unread(self) -> bool:
        """Whether something was typed that cannot be read."""
        return any(one.wrong for _, one in self.typed)

    def wrong(self, name: str) -> Typed | None:
        """What was typed in a field that cannot be read."""
        return next((one for key, one in self.typed if key == name and one.wrong), None)


_FIELDS: Final = {"wish.pressure": "pressure", "wish.aim.sag": "sag", "wish.aim.capacity": "capacity"}
"""Which field sets which fact."""


def with_faults(made: Set, faults: Iterable[InputError], form: Form) -> tuple[Set, tuple[str, ...]]:
    """What was set, with what is wrong beside its fields; and as sentences what belongs to none of them."""
    typed, others = list(made.typed), []
    for fault in faults:
        name = _FIELDS.get(fault.field or "")
        if name is None:
            others.append(str(InputError(fault.rule, value=fault.value, remedy=fault.remedy, field=fault.field)))
        else:
            typed.insert(0, (name, Typed(form.text(name), wrong=sentence_of(fault, form.text(name)))))
    return replace(made, typed=tuple(typed)), tuple(others)


def read_controls(form: Form, choice: UnitChoice) -> Set:
    """What the controls were set to; nothing where the form has none of them."""
    if not form.has("travel"):
        return Set(())
    pressure = read_number(form, "pressure", Quantity.PRESSURE, choice)
    sag = _sag(form, choice)
    capacity = read_number(form, "capacity", Quantity.ENERGY, choice)
    facts = [("wish.travel_spacers", ""), ("wish.travel", _travel(form.text("travel")))]
    facts += [("wish.volume_spacers", _count(form.text("spacers"))), ("wish.pressure", pressure.fact)]
    facts += [("wish.coil", form.text("coil")[:LONGEST]), ("wish.preload_spacers", _count(form.text("preload")))]
    facts += _aim(form.text("aim"), sag.fact, capacity.fact)
    return Set(tuple(facts), (("pressure", pressure), ("sag", sag), ("capacity", capacity)))


def _travel(text: str) -> str:
    """A travel that a control can send, and nothing else."""
    return text if text.endswith(" mm") and text.removesuffix(" mm").replace(".", "", 1).isdigit() else ""


def _count(text: str) -> str:
    return text if text.isascii() and text.isdigit() and len(text) < 3 else ""


def _sag(form: Form, choice: UnitChoice) -> Typed:
    """A sag as a share of travel, or as a length where one was typed."""
    share = read_number(form, "sag", Quantity.FRACTION, choice)
    if share.wrong and not (length := read_number(form, "sag", Quantity.LENGTH, choice)).wrong:
        return length
    return share


def _aim(kind: str, sag: str, capacity: str) -> ControlFacts:
    """The aim as facts; a kind that needs a number has none until the number is there."""
    cleared = (("wish.aim.sag", ""), ("wish.aim.capacity", ""), ("wish.aim", ""))
    match kind:
        case "as-it-rode":
            return (*cleared, ("wish.aim", "as-it-rode"))
        case "sag" if sag:
            return (*cleared, ("wish.aim.sag", sag))
        case "capacity" if capacity:
            return (*cleared, ("wish.aim.capacity", capacity))
        case _:
            return cleared


def controls_of(selection: Selection, offered: Offers, made: Set, choice: UnitChoice) -> Controls:
    """The controls as a plan's wish sets them."""
    intake = selection.intake
    return Controls(
        scales=tuple(_scales(selection, offered, choice)),
        pressure=None if offered.coils else _pressure(intake, selection.target, made, choice),
        aims=tuple(_aim_options(selection)),
        aim_reasons=tuple(
            findings.finding_sentence(one, choice) for one in selection.findings if one.code == NOT_LIKE_BEFORE
        ),
        sag=_sag_field(selection.spring.aim, made, choice),
        capacity=_capacity_field(selection, made, choice),
    )


def _scales(selection: Selection, offered: Offers, choice: UnitChoice) -> Iterator[Scale]:
    intake, wish = selection.intake, selection.intake.wish
    travels = tuple(_travel_option(one, intake, offered, choice) for one in offered.travels)
    yield Scale("travel", f"travel, {choice.length}", travels, tuple(_reasons(offered.travels, choice)))
    if not offered.coils:
        yield Scale(
            "spacers", "volume spacers", _spacer_options(wish, offered, selection.target), _spacer_reasons(offered)
        )
        return
    fitting = None if selection.target is None else selection.target.setup.fitting
    near = _nearest(wish.coil, "" if fitting is None else coil_name(fitting.coil))
    yield Scale(
        "coil",
        "coil",
        (near, *(ControlOption(one, coil_name(one), "", one == wish.coil, offered=True) for one in offered.coils)),
    )
    near = _nearest(wish.preload_spacers, "" if fitting is None else str(fitting.preload_spacers))
    counts = range(offered.preload_spacers + 1)
    many = (ControlOption(str(n), str(n), "", n == wish.preload_spacers, offered=True) for n in counts)
    yield Scale("preload", "preload spacers", (near, *many))


def _nearest(wished: str | int | None, near: str) -> ControlOption:
    """The first of a scale: let it be chosen."""
    return ControlOption("", "nearest", near if wished is None else "", wished is None, offered=True)


def _travel_option(one: OfferedTravel, intake: Intake, offered: Offers, choice: UnitChoice) -> ControlOption:
    text = quantities.bare(one.travel, Quantity.LENGTH, choice)
    found = offered.found is not None and abs(one.travel - offered.found) < _SAME
    chosen = abs(one.travel - intake.wish.travel.si) < _SAME
    return ControlOption(f"{one.travel * 1e3:.6g} mm", text, "found" if found else "", chosen, not one.refusals)


def _reasons(travels: tuple[OfferedTravel, ...], choice: UnitChoice) -> list[str]:
    """One sentence for every travel that is not offered, those of one reason together."""
    by_code: dict[str, list[OfferedTravel]] = {}
    for one in travels:
        if one.refusals:
            by_code.setdefault(one.refusals[0].code, []).append(one)
    return [f"{_listed(many, choice)}: {_why(code, many, choice)}" for code, many in by_code.items()]


def _listed(many: list[OfferedTravel], choice: UnitChoice) -> str:
    return ", ".join(quantities.bare(one.travel, Quantity.LENGTH, choice) for one in many)


def _why(code: str, many: list[OfferedTravel], choice: UnitChoice) -> str:
    if code == "travel.not-permitted":
        given = dict((*many[0].refusals[0].figures, *many[0].refusals[0].words))
        low, high = (quantities.figure(given[end], choice) for end in ("low", "high"))  # type: ignore[arg-type]
        return f"chassis {given['chassis']} takes {low} to {high} only, whatever fits inside."
    return findings.finding_sentence(many[0].refusals[0], choice)


def _spacer_options(wish: Wish, offered: Offers, target: Option | None) -> tuple[ControlOption, ...]:
    near = "" if target is None else str(target.setup.volume_spacers)
    counts, fit = range(offered.most_volume_spacers + 1), offered.volume_spacers_fit
    many = (ControlOption(str(n), str(n), "", n == wish.volume_spacers, n <= fit) for n in counts)
    return (_nearest(wish.volume_spacers, near), *many)


def _spacer_reasons(offered: Offers) -> tuple[str, ...]:
    fit, most = offered.volume_spacers_fit, offered.most_volume_spacers
    if fit < 0 or fit >= most:
        return ()
    which = str(most) if fit + 1 == most else f"{fit + 1} to {most}"
    return (f"{which}: this travel leaves room for {quantities.count_text(fit, 'volume spacer')}.",)


def _pressure(intake: Intake, target: Option | None, made: Set, choice: UnitChoice) -> NumberField:
    span, wish = intake.sheet.air.pressure_gauge, intake.wish.pressure_gauge
    unit = choice.pressure
    low, high = (quantities.bare(end, Quantity.PRESSURE, choice).replace(",", ".") for end in (span.low, span.high))
    gauge = None if target is None else target.pressure_gauge
    near = "" if gauge is None else quantities.bare(gauge.value, Quantity.PRESSURE, choice)
    field = NumberField(
        "pressure",
        "pressure",
        text="" if wish is None else shown_number(wish.as_written, Quantity.PRESSURE, choice),
        unit=unit,
        source="" if wish is None else wish.as_written,
        low=low,
        high=high,
        step=PRESSURE_STEP.get(unit, "1"),
        hint=near,
        mark=choice.decimal,
    )
    return _with_wrong(field, made)


def _with_wrong(field: NumberField, made: Set) -> NumberField:
    """The field with what was typed in it, where that cannot be read."""
    typed = made.wrong(field.name)
    if typed is None:
        return field
    return replace(field, text=typed.text, source="", wrong=typed.wrong)


def _aim_options(selection: Selection) -> list[ControlOption]:
    kind = selection.spring.aim.kind
    blocked = any(one.code == NOT_LIKE_BEFORE for one in selection.findings)
    return [
        ControlOption(value, text, "", value == kind, not (blocked and value == AimKind.AS_IT_RODE))
        for value, text in _AIMS
    ]


def _sag_field(aim: Aim, made: Set, choice: UnitChoice) -> NumberField:
    source, unit = "", choice.fraction
    if aim.sag_fraction is not None:
        source = f"{aim.sag_fraction * 100:.6g} %"
    if aim.sag is not None:
        source, unit = f"{aim.sag * 1e3:.6g} mm", choice.length
    quantity = Quantity.LENGTH if aim.sag is not None else Quantity.FRACTION
    text = shown_number(source, quantity, choice) if source else ""
    field = NumberField("sag", "sag", text, unit, source, step="1", low="5", high="50", hint="20", mark=choice.decimal)
    return _with_wrong(field, made)


def _capacity_field(selection: Selection, made: Set, choice: UnitChoice) -> NumberField:
    source = "" if selection.spring.aim.capacity is None else f"{selection.spring.aim.capacity:.6g} J"
    near = [one.capacity.value for one in (selection.spring.target, *selection.spring.as_found) if one is not None]
    hint = quantities.bare(near[0], Quantity.ENERGY, choice) if near else ""
    text = shown_number(source, Quantity.ENERGY, choice) if source else ""
    field = NumberField("capacity", "capacity", text, choice.energy, source, step="5", hint=hint, mark=choice.decimal)
    return _with_wrong(field, made)
