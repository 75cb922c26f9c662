"""A spec sheet as written → the domain."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sagwright.domain.air_spring import AFTER, FIRST, AirSpring, FloatingPiston, NegativeCoil, TransferPort, Valve
from sagwright.domain.coil_spring import CoilSpring, PreloadStack
from sagwright.domain.sheet import (
    Bumper,
    BushingFit,
    ChargingOrder,
    Chassis,
    Damper,
    DiscStack,
    Friction,
    Leg,
    Mechanism,
    Service,
    Shaft,
    ShaftPerTravel,
    Sheet,
    SpacerStack,
    TopOutSpacers,
)
from sagwright.domain.value import Span, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import Faults
from sagwright.formats.sheet.coil import CoilSpringShape, shelved
from sagwright.formats.sheet.item_compose import cautions_of, items_of
from sagwright.formats.sheet.shape import ChargingShape, ChassisShape, SheetShape, SpringShape, StopShape
from sagwright.formats.sheet.valve import ValveShape, built_valve
from sagwright.formats.source.tree import FieldPath

MOST_TRAVELS = 100


def coil_spring(sheet: SheetShape, shape: CoilSpringShape, faults: Faults) -> CoilSpring:
    """The coil spring; what does not belong beside one is added to the faults."""
    for key in ("transfer_port", "charging"):
        if getattr(sheet, key) is not None:
            faults.add((key,), OutOfRange("does not belong to a coil spring", remedy="Remove it."))
    if not shape.coils:
        faults.add(("coil_spring", "coils"), MissingValue("must name a coil", remedy="Write one, like medium: {...}."))
    none, spacers, adjuster = Value(0.0), shape.preload_spacers, shape.adjuster
    stack = PreloadStack(
        height=spacers.height if spacers else none,
        most=spacers.most if spacers else 0,
        range=adjuster.range if adjuster else none,
        per_turn=adjuster.per_turn if adjuster else none,
    )
    coils = (shelved(each, key, ("coil_spring", "coils", key), faults) for key, each in shape.coils.items())
    return CoilSpring(tuple(coils), shape.seats, shape.bore, shape.shaft, stack, shape.guided)


def built(shape: SheetShape, name: str, base: str, faults: Faults) -> Sheet:
    """The sheet in the domain; what cannot be built is added to the faults and raised.

    Raises
    ------
    InputError, InputErrors
    """
    mechanism = _mechanism(shape, faults)
    parts: dict[str, Any] = {
        "chassis": tuple(_chassis(key, each, faults) for key, each in shape.chassis.items()),
        "spring": _either_spring(shape, faults),
        "items": tuple(items_of(shape, faults)),
        "notices": cautions_of(shape.notices, ("notices",), faults),
    }
    faults.raise_any()
    return Sheet(
        name=name,
        maker=shape.maker,
        model=shape.model,
        revision=shape.revision,
        base=base,
        mechanism=mechanism,
        legs=tuple(
            Leg(key, leg.stanchion, leg.rod, leg.air_bottomed, leg.lower_leg_oil) for key, leg in shape.legs.items()
        ),
        damper=Damper(shape.damper.rod, shape.damper.gas_pressure, shape.damper.gas_volume, shape.damper.stroke),
        top_out=_stop(shape.stops.top_out),
        bottom_out=_stop(shape.stops.bottom_out),
        friction=Friction(shape.friction.sliding, shape.friction.breakaway),
        bushings=BushingFit(**dict(shape.bushings)) if shape.bushings else None,
        charging=_charging(shape.charging),
        service=tuple(Service(what, every) for what, every in shape.service.items()),
        **parts,
    )


def _stop(shape: StopShape) -> Bumper:
    return Bumper(shape.length, shape.rate, DiscStack(**dict(shape.discs)) if shape.discs else None)


def _chassis(key: str, shape: ChassisShape, faults: Faults) -> Chassis:
    path: FieldPath = ("chassis", key)
    travels = _travels(shape, path, faults)
    return Chassis(key, shape.longest, travels, shape.axle_to_crown)


def _travels(shape: ChassisShape, path: FieldPath, faults: Faults) -> tuple[float, ...]:
    """The permitted travels of one chassis [m], as listed or step by step over the range."""
    if isinstance(shape.travels, tuple) and all(isinstance(each, Value) for each in shape.travels):
        return tuple(each.si for each in shape.travels)
    if isinstance(shape.travels, Value):
        return (shape.travels.si,)
    if not isinstance(shape.travels, Span):
        faults.add((*path, "travels"), OutOfRange("must be a range or a list of lengths, not both"))
        return ()
    if shape.every is None:
        missing = MissingValue("must be given beside a range of travels", remedy="Write it, like every: 10 mm.")
        faults.add((*path, "every"), missing)
        return ()
    return _stepped(shape.travels, shape.every.si, (*path, "travels"), faults)


def _stepped(span: Span, every: float, path: FieldPath, faults: Faults) -> tuple[float, ...]:
    steps = (span.high - span.low) / every
    count = round(steps)
    if abs(steps - count) > 1e-6 or not 1 <= count <= MOST_TRAVELS:
        wrong = OutOfRange(
            "must be whole steps of `every` from end to end",
            value=span.as_written,
            remedy="Change an end or the step.",
        )
        faults.add(path, wrong)
        return ()
    return tuple(round(span.low + step * every, 9) for step in range(count + 1))


def _charging(shape: ChargingShape | None) -> ChargingOrder:
    """How it is charged; nothing where there is a coil."""
    return (
        ChargingOrder(None, None, 0)
        if shape is None
        else ChargingOrder(shape.before_lowers, shape.assembly_pressure, shape.cycles)
    )


def _mechanism(sheet: SheetShape, faults: Faults) -> Mechanism:
    shape = sheet.mechanism
    stack, top_out = shape.travel_spacers, shape.top_out_spacers
    if [stack, shape.shafts, shape.fixed, top_out].count(None) != 3:
        faults.add(
            ("mechanism",),
            OutOfRange(
                "must have one of travel_spacers, shafts, fixed and top_out_spacers",
                remedy='Write the one that sets the travel; take an inherited one away with "left out".',
            ),
        )
    if stack is not None:
        return SpacerStack(stack.height, stack.outside, stack.most)
    if top_out is not None:
        return TopOutSpacers(top_out.height, top_out.most)
    return ShaftPerTravel(tuple(_shafts(sheet, faults)))


def _shafts(sheet: SheetShape, faults: Faults) -> Iterator[Shaft]:
    """Every shaft; over a coil there are no volume spacers."""
    shape = sheet.mechanism
    written = [shape.fixed] if shape.fixed else shape.shafts or []
    for index, each in enumerate(written):
        most = each.most_volume_spacers
        if most is None and sheet.spring is not None:
            path: FieldPath = ("fixed",) if shape.fixed else ("shafts", index)
            faults.add(("mechanism", *path, "most_volume_spacers"), MissingValue("must be given"))
        yield Shaft(each.travel, most or 0)


def _either_spring(shape: SheetShape, faults: Faults) -> AirSpring | CoilSpring | None:
    """The spring there is: air with its transfer port and charging, or a coil without."""
    if (shape.spring is None) == (shape.coil_spring is None):
        rule, remedy = "must have one of spring and coil_spring", "Write the one that is in it."
        faults.add(("spring",), OutOfRange(rule, remedy=remedy) if shape.spring else MissingValue(rule, remedy=remedy))
        return None
    if shape.coil_spring is not None:
        return coil_spring(shape, shape.coil_spring, faults)
    if shape.charging is None:
        faults.add(("charging",), MissingValue("must be given", remedy="Write before_lowers and cycles."))
    return None if shape.spring is None else _spring(shape, shape.spring, faults)


def _spring(shape: SheetShape, spring: SpringShape, faults: Faults) -> AirSpring | None:
    length = _positive_length(spring, stacked=shape.mechanism.travel_spacers is not None, faults=faults)
    if length is None:
        return None
    positive, negative = spring.positive, spring.negative
    coil, own = negative.coil, _own(negative, spring, AFTER, path=("spring", "negative"), faults=faults)
    return AirSpring(
        bore=spring.bore,
        shaft=spring.shaft,
        positive_length=length,
        negative_length=negative.length,
        volume_spacer=positive.volume_spacer,
        most_volume_spacers=positive.most_volume_spacers,
        positive_oil=positive.oil,
        negative_oil=negative.oil,
        pressure_gauge=spring.pressure,
        transfer_port=_transfer_port(shape, spring, faults),
        negative_gauge=None if own is None else own[0],
        negative_valve=AFTER if own is None else own[1],
        negative_coil=None if coil is None else NegativeCoil(coil.length, coil.rate),
        second=_second(spring, faults),
    )


def _second(spring: SpringShape, faults: Faults) -> FloatingPiston | None:
    shape = spring.second
    if shape is None:
        return None
    own = built_valve(shape, spring.pressure, FIRST, path=("spring", "second"), faults=faults)
    return None if own is None else FloatingPiston(shape.volume, *own)


def _own(
    shape: ValveShape, spring: SpringShape, usual: Valve, *, path: FieldPath, faults: Faults
) -> tuple[Value, Valve] | None:
    """The charge of a chamber that may have a valve of its own."""
    return built_valve(shape, spring.pressure, usual, path=path, faults=faults) if shape.is_there else None


def _transfer_port(shape: SheetShape, spring: SpringShape, faults: Faults) -> TransferPort:
    """The port; a negative chamber with its own valve has none, and stands here with one that never opens."""
    port, own_valve = shape.transfer_port, spring.negative.is_there
    if port is None and not own_valve:
        faults.add(("transfer_port",), MissingValue("must be given", remedy="Write opens_at, band and positions."))
    if port is not None and own_valve:
        rule = "must not stand beside a transfer port"
        remedy = 'Write transfer_port: "left out", or remove the pressure.'
        faults.add(("spring", "negative", "pressure"), OutOfRange(rule, remedy=remedy))
    return (
        TransferPort(Value(0.0), Value(0.0)) if port is None else TransferPort(port.opens_at, port.band, port.positions)
    )


def _positive_length(spring: SpringShape, *, stacked: bool, faults: Faults) -> Value | None:
    """The length that a travel change leaves alone; the other one may not be written."""
    right, wrong = "length_bottomed", "length_topped_out"
    if not stacked:
        right, wrong = wrong, right
    path: FieldPath = ("spring", "positive")
    if getattr(spring.positive, wrong) is not None:
        faults.add(
            (*path, wrong),
            OutOfRange("does not stay the same when this mechanism changes the travel", remedy=f"Write {right}."),
        )
    length: Value | None = getattr(spring.positive, right)
    if length is None:
        faults.add((*path, right), MissingValue("must be given", remedy="Measure it, like 85 mm."))
    return length
