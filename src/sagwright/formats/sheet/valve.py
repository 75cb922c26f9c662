"""A charge behind a valve of its own, as a sheet writes it, and what it means."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Any, Final

from pydantic import Field as About

from sagwright.domain.air_spring import Valve
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity, Span, Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.faults import Faults
from sagwright.formats.fields.kinds import QuantityField, Range, Shape, Word
from sagwright.formats.fields.values import read_span
from sagwright.formats.source.tree import FieldPath

_MOST: Final = 40
"""Most pressures a range may be chosen from."""

GaugePressure = Annotated[Value, QuantityField(Quantity.PRESSURE, 0.0, 40e5)]


class PressureOrRange(QuantityField):
    """One pressure, or both ends of a range."""

    def read(self, text: str) -> Any:
        """One pressure, or both ends of a range."""
        if ".." not in text and "…" not in text:
            return super().read(text)
        return read_span(text, self.quantity)


class PairShape(Shape):
    """One line of a table: a pressure at the main valve, and the one that belongs to it."""

    main: GaugePressure = About(description="At the main valve, gauge.", examples=["60 psi"])
    here: GaugePressure = About(description="At this valve, gauge.", examples=["140 psi"])


class ValveShape(Shape):
    """How a chamber with its own valve is charged: one pressure, a range, a ratio or a table."""

    pressure: Annotated[Any, PressureOrRange(Quantity.PRESSURE, 0.0, 40e5)] = About(
        None, description="Usual charge, gauge; or a range to choose from, with `every`.", examples=["170 ± 3 psi"]
    )
    every: GaugePressure | None = About(None, description="Step of the range.", examples=["10 psi"])
    ratio: Annotated[Value, QuantityField(Quantity.RATIO, 0.1, 10.0)] | None = About(
        None, description="Of the gauge pressures here and at the main valve, where it follows that.", examples=["2.1"]
    )
    table: list[PairShape] | None = About(
        None,
        description="Where it follows the main one otherwise: at least two lines, both rising.",
        examples=[[{"main": "60 psi", "here": "130 psi"}, {"main": "100 psi", "here": "190 psi"}]],
    )
    permitted: Annotated[Span, Range(Quantity.PRESSURE, 0.0, 40e5)] | None = About(
        None, description="Permitted here, gauge.", examples=["100..230 psi"]
    )
    charged: Annotated[str | None, Word({"first": "first", "after": "after"})] = About(
        None, description="Before the main chamber, or after it.", examples=["first"]
    )

    @property
    def is_there(self) -> bool:
        """Whether a charge is written."""
        return not (self.pressure is None and self.ratio is None and self.table is None)


def built_valve(
    shape: ValveShape, main: Span, usual: Valve, *, path: FieldPath, faults: Faults
) -> tuple[Value, Valve] | None:
    """The usual charge and the rule; None after adding what is wrong.

    Parameters
    ----------
    shape : ValveShape
    main : Span
        Permitted at the main valve.
    usual : Valve
        For the order where nothing is said of it.
    path, faults
        Where it stands, and what takes its faults.
    """
    written = [name for name in ("pressure", "ratio", "table") if getattr(shape, name) is not None]
    if len(written) != 1:
        fault = MissingValue("must be given", remedy="Write pressure, ratio or table, like pressure: 170 psi.")
        if written:
            fault = OutOfRange("must not stand beside each other: " + ", ".join(written), remedy="Keep one.")  # type: ignore[assignment]
        faults.add((*path, written[0] if written else "pressure"), fault)
        return None
    first = usual.first if shape.charged is None else shape.charged == "first"
    try:
        if shape.every is not None and not isinstance(shape.pressure, Span):
            raise OutOfRange("needs a range of pressures", field="every", remedy="Write it, like 120..200 psi.")
        value, choices, follows = _rule(shape, main)
        if not follows:
            _within(value, choices, shape.permitted)
    except InputError as fault:
        plain = type(fault)(fault.rule, value=fault.value, remedy=fault.remedy)
        faults.add((*path, fault.field or written[0]), plain)
        return None
    return value, Valve(choices, follows, shape.permitted, first)


def _rule(shape: ValveShape, main: Span) -> tuple[Value, tuple[float, ...], tuple[tuple[float, float], ...]]:
    """Usual charge, choices, and the points it follows."""
    if isinstance(shape.pressure, Span):
        choices = _choices(shape.pressure, shape.every)
        return Value(choices[len(choices) // 2], None, shape.pressure.origin, shape.pressure.as_written), choices, ()
    if shape.pressure is not None:
        return shape.pressure, (), ()
    if shape.ratio is not None:
        points = tuple((each, shape.ratio.si * each) for each in (main.low, main.high))
    else:
        points = _points(shape.table or [])
    middle = 0.5 * (points[0][1] + points[-1][1])
    return Value(middle), (), points


def _choices(span: Span, every: Value | None) -> tuple[float, ...]:
    if every is None:
        raise MissingValue("must be given beside a range", field="every", remedy="Write it, like every: 10 psi.")
    steps = (span.high - span.low) / every.si if every.si > 0 else 0.0
    count = round(steps)
    if not 1 <= count < _MOST or abs(steps - count) > 1e-6:
        rule = f"must be whole steps of `every` from end to end, {_MOST} at most"
        raise OutOfRange(rule, field="pressure", value=span.as_written, remedy="Change an end or the step.")
    return tuple(span.low + step * every.si for step in range(count + 1))


def _points(table: list[PairShape]) -> tuple[tuple[float, float], ...]:
    points = tuple((pair.main.si, pair.here.si) for pair in table)
    rising = all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(points))
    if len(points) < 2 or not rising:
        raise OutOfRange("must have two lines or more, both pressures rising", field="table", remedy="Sort them.")
    return points


def _within(usual: Value, choices: tuple[float, ...], permitted: Span | None) -> None:
    if permitted is None:
        return
    ends = (choices[0], choices[-1]) if choices else (usual.si, usual.si)
    if ends[0] < permitted.low or ends[1] > permitted.high:
        raise OutOfRange(
            f"must lie in what is permitted, {permitted.as_written}", field="pressure", value=usual.as_written
        )


def check_valves(written: object, sheet: Sheet, *, path: FieldPath, faults: Faults) -> None:
    """Add a fault for every `second_pressure` or `negative_pressure` that the sheet has no valve for."""
    there = {valve.field.replace("_gauge", "_pressure") for valve in sheet.spring.own_valves}
    for key in ("negative_pressure", "second_pressure"):
        if getattr(written, key) is not None and key not in there:
            fault = OutOfRange("does not exist in this family", remedy="It has no such valve; remove this.")
            faults.add((*path, key), fault)
