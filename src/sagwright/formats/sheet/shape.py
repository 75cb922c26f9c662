"""The format sheet/1 as it is written; the JSON Schema is published from it."""

from __future__ import annotations

from typing import Annotated, Any, Final

from pydantic import Field as About

from sagwright.domain.item import ChargeStage
from sagwright.domain.value import Origin, Quantity, Span, Value
from sagwright.formats.fields.kinds import Count, QuantityField, Range, Shape, Word, word
from sagwright.formats.fields.values import read_span, read_value
from sagwright.formats.sheet.coil import CoilSpringShape, Diameter, Length, TopOutSpacersShape
from sagwright.formats.sheet.item_shape import CautionShape, ItemShape, Key, Label
from sagwright.formats.sheet.valve import GaugePressure, ValveShape

SHEET: Final = "sheet/1"

Travel = Annotated[Value, QuantityField(Quantity.LENGTH, 0.02, 0.4)]
Volume = Annotated[Value, QuantityField(Quantity.VOLUME, 0.0, 1e-3)]
Thin = Annotated[Value, QuantityField(Quantity.LENGTH, 1e-4, 0.02)]
_Force = Annotated[Value, QuantityField(Quantity.FORCE, 0.0, 500.0)]


class TravelsField(QuantityField):
    """Travels: a range, or a list of lengths."""

    def validate(self, raw: object) -> object:
        """Reads a list entry by entry."""
        if isinstance(raw, list):
            return tuple(super(TravelsField, self).validate(each) for each in raw)
        return super().validate(raw)

    def read(self, text: str) -> Any:
        """One length, or both ends of a range."""
        if ".." not in text and "…" not in text:
            return super().read(text)
        return read_span(text, self.quantity)

    def schema(self) -> dict[str, Any]:
        """A range in text, or a list."""
        length = {"type": "string", "pattern": r"\d"}
        return {"anyOf": [length, {"type": "array", "minItems": 1, "items": length}]}


class ChassisShape(Shape):
    """A castings variant."""

    longest: Travel = About(description="Travel with nothing that shortens it.", examples=["150 mm"])
    travels: Annotated[Any, TravelsField(Quantity.LENGTH, 0.02, 0.4)] = About(
        description="Permitted travels: a range with `every`, or a list.",
        examples=["110..150 mm", ["120 mm", "140 mm"]],
    )
    every: Length | None = About(None, description="Step of the range of travels.", examples=["10 mm"])
    axle_to_crown: Annotated[Value, QuantityField(Quantity.LENGTH, 0.2, 1.0)] | None = About(
        None, description="At the longest travel, topped out.", examples=["541 mm"]
    )


class TravelSpacersShape(Shape):
    """Spacers under the piston; each shortens the travel by its height."""

    height: Length = About(description="Of one.", examples=["10 mm"])
    outside: Diameter = About(description="Outside diameter.", examples=["19 mm"])
    most: Annotated[int, Count(1, 20)] = About(description="Most that fit.", examples=["4"])


class ShaftShape(Shape):
    """One air shaft."""

    travel: Travel = About(description="Travel it gives.", examples=["130 mm"])
    most_volume_spacers: Annotated[int, Count()] | None = About(
        None, description="Most volume spacers it leaves room for; left out only with a coil.", examples=["4"]
    )


class MechanismShape(Shape):
    """How travel is set: by spacers, by the length of the air shaft, or not at all; exactly one of them."""

    top_out_spacers: TopOutSpacersShape | None = About(None, description="Travel set by spacers under the top-out.")
    travel_spacers: TravelSpacersShape | None = About(None, description="Travel set by spacers.")
    shafts: list[ShaftShape] | None = About(None, description="Travel set by the air shaft.")
    fixed: ShaftShape | None = About(None, description="The one travel there is.")


class TransferPortShape(Shape):
    """The port between the positive and the negative chamber."""

    opens_at: Length = About(description="Compression at which it opens.", examples=["5 mm"])
    band: Length = About(description="Travel over which it stays open.", examples=["3 mm"])
    positions: Annotated[int, Count(1, 21)] = About(
        1, description="Positions it can be put in; position 0 goes with no travel spacer.", examples=["5"]
    )


class PositiveShape(Shape):
    """The positive chamber."""

    length_bottomed: Length | None = About(
        None, description="Bottomed out, where travel spacers set the travel.", examples=["85 mm"]
    )
    length_topped_out: Length | None = About(
        None, description="Topped out, where the shaft sets the travel.", examples=["230 mm"]
    )
    volume_spacer: Annotated[Value, QuantityField(Quantity.VOLUME, 5e-7, 1e-4)] = About(
        description="What one volume spacer takes.", examples=["8 ml"]
    )
    most_volume_spacers: Annotated[int, Count()] = About(description="Most that fit at any travel.", examples=["5"])
    oil: Volume = About(description="Oil or grease lying in it.", examples=["2 ml"])


class NegativeCoilShape(Shape):
    """A coil that pulls the fork in over the first part of its travel."""

    length: Length = About(description="Compression at which it lets go.", examples=["25 mm"])
    rate: Annotated[Value, QuantityField(Quantity.RATE, 100.0, 1e5)] = About(
        description="Its rate.", examples=["6 N/mm"]
    )


class SecondShape(ValveShape):
    """A second positive chamber behind a floating piston."""

    volume: Annotated[Value, QuantityField(Quantity.VOLUME, 1e-6, 1e-3)] = About(
        description="Behind the piston, the piston on its stop.", examples=["60 ml"]
    )


class NegativeShape(ValveShape):
    """The negative chamber, topped out and without travel spacers; a charge only where it has a valve of its own."""

    length: Length = About(description="Topped out, without travel spacers.", examples=["40 mm"])
    oil: Volume = About(description="Oil or grease lying in it.", examples=["1 ml"])
    coil: NegativeCoilShape | None = About(None, description="A coil beside it or instead of most of it.")


class SpringShape(Shape):
    """The air spring in its tube."""

    bore: Diameter = About(description="Inside diameter of the tube.", examples=["31.8 ± 0.03 mm, measured"])
    shaft: Diameter = About(description="Diameter of the air shaft.", examples=["10 mm"])
    positive: PositiveShape = About(description="The positive chamber.")
    negative: NegativeShape = About(description="The negative chamber.")
    second: SecondShape | None = About(None, description="A second positive chamber behind a floating piston.")
    pressure: Annotated[Span, Range(Quantity.PRESSURE, 0.0, 40e5)] = About(
        description="Permitted pressure, gauge, topped out.", examples=["40..140 psi"]
    )


class LegShape(Shape):
    """One lower leg: closed air over its lower-leg oil."""

    stanchion: Diameter = About(description="Outside diameter of the stanchion.", examples=["35 mm"])
    rod: Diameter = About(description="Shaft or rod that stands in its foot.", examples=["10 mm"])
    air_bottomed: Volume = About(description="Air at bottom-out before any lower-leg oil is in.", examples=["70 ml"])
    lower_leg_oil: Volume = About(description="Lower-leg oil it takes; 0 ml for none.", examples=["8 ml"])


class DamperShape(Shape):
    """What the damper adds to the spring."""

    rod: Diameter = About(description="Rod diameter.", examples=["10 mm"])
    gas_pressure: GaugePressure = About(description="Topped out, gauge.", examples=["0 psi", "4 bar"])
    gas_volume: Annotated[Value, QuantityField(Quantity.VOLUME, 1e-7, 1e-3)] = About(
        description="Gas topped out.", examples=["30 ml"]
    )
    stroke: Travel | None = About(None, description="How far its rod goes in, where it limits.", examples=["155 mm"])


class DiscsShape(Shape):
    """A stack of disc springs."""

    outside: Length = About(description="Outside diameter.", examples=["31.5 mm"])
    inside: Length = About(description="Inside diameter.", examples=["16.3 mm"])
    thickness: Thin = About(description="Of one disc.", examples=["1.25 mm"])
    cone: Thin = About(description="Height of the cone, by which one disc is pressed flat.", examples=["0.9 mm"])
    series: Annotated[int, Count(1, 60)] = About(1, description="Packets stacked end to end.", examples=[8])
    parallel: Annotated[int, Count(1, 10)] = About(1, description="Discs nested in a packet.", examples=[1])
    elastic_modulus: Annotated[Value, QuantityField(Quantity.PRESSURE, 10e9, 400e9)] = About(
        read_value("206000 MPa, typical", Quantity.PRESSURE), description="Of their steel.", examples=["206000 MPa"]
    )
    poisson: Annotated[Value, QuantityField(Quantity.RATIO, 0.0, 0.49)] = About(
        read_value("0.3, typical", Quantity.RATIO), description="Poisson ratio.", examples=["0.3"]
    )


class StopShape(Shape):
    """A bumper at one end of the travel."""

    length: Length = About(description="Over which it acts.", examples=["4 mm"])
    rate: Annotated[Value, QuantityField(Quantity.RATE, 1e3, 1e7)] = About(
        description="Its spring rate.", examples=["120 N/mm"]
    )
    discs: DiscsShape | None = About(None, description="Disc springs, in the place of the rate.")


class StopsShape(Shape):
    """The bumpers at both ends."""

    top_out: StopShape = About(description="At full extension.")
    bottom_out: StopShape = About(description="At full travel.")


class FrictionShape(Shape):
    """The friction band."""

    sliding: _Force = About(description="Half the gap between pressing and lifting.", examples=["20 ± 8 N"])
    breakaway: _Force = About(description="To start a unit moving from rest.", examples=["35 ± 12 N"])


class BushingsShape(Shape):
    """Where the lowers slide; bending makes them bind."""

    spacing: Length = About(description="Between upper and lower bushing.", examples=["130 mm"])
    to_axle: Length = About(description="From the lower one to the axle.", examples=["250 mm"])
    lead: Length = About(description="Axle before the legs' own axis.", examples=["20 mm"])
    coefficient: Annotated[Value, QuantityField(Quantity.RATIO, 0.0, 0.3)] = About(
        description="Of sliding friction.", examples=["0.02 ± 0.01"]
    )
    overlap: Length | None = About(
        None, description="Stanchion past the lower bushing, topped out at the longest travel.", examples=["12 mm"]
    )
    least_overlap: Length | None = About(None, description="How much of it there must be.", examples=["8 mm"])


BEFORE: Final[dict[str, object]] = {
    "none": None,
    "assembly": ChargeStage.ASSEMBLY,
    "riding": ChargeStage.RIDING,
}


class ChargingShape(Shape):
    """How this family is charged."""

    before_lowers: Annotated[ChargeStage | None, Word(BEFORE)] = About(
        description="Pressure that goes in before the lowers go on.", examples=["none", "assembly", "riding"]
    )
    assembly_pressure: GaugePressure | None = About(
        None, description="The assembly pressure, gauge.", examples=["30 psi"]
    )
    cycles: Annotated[int, Count(1, 50)] = About(
        description="Slow strokes through the transfer port after charging.", examples=["10"]
    )


class SheetShape(Shape):
    """A sheet: data that describe a family of units."""

    shape: Annotated[str, Word({SHEET: SHEET})] = About(description="Which format this is.")
    extends: Label | None = About(
        None,
        description="The sheet or base sheet that this one extends: a shipped name, or a path from this file.",
        examples=["air-fork/spacer-stack"],
    )
    origin: Annotated[Origin, word(Origin, Origin.COMPUTED)] = About(
        Origin.TYPICAL, description="Of every value in this file that does not say otherwise."
    )
    maker: Label = About(description="Who made the unit.", examples=["Specimen"])
    model: Label = About(description="What it is called.", examples=["T35"])
    revision: Annotated[int, Count(1, 9999)] = About(description="Of this sheet.", examples=["1"])
    chassis: dict[Key, ChassisShape] = About(description="Castings variants, by name.")
    mechanism: MechanismShape = About(description="How travel is set.")
    transfer_port: TransferPortShape | None = About(
        None,
        description="The port between the chambers; left out where the negative one has its own valve, or with a coil.",
    )
    spring: SpringShape | None = About(None, description="The air spring; left out where there is a coil.")
    coil_spring: CoilSpringShape | None = About(None, description="The coil spring, in the place of an air spring.")
    legs: dict[Key, LegShape] = About(description="Both legs, by name.")
    damper: DamperShape = About(description="The damper, as a spring.")
    stops: StopsShape = About(description="Top-out and bottom-out bumpers.")
    friction: FrictionShape = About(description="Friction, sliding and at rest.")
    bushings: BushingsShape | None = About(None, description="Where the lowers slide.")
    charging: ChargingShape | None = About(
        None, description="Which pressure goes in when; left out where there is a coil."
    )
    items: dict[Key, ItemShape] = About(description="Everything that comes off and goes on, by key.")
    service: dict[Key, Annotated[Value, QuantityField(Quantity.TIME, 3600.0, 3e7)]] = About(
        {}, description="Riding time between services, by what is serviced.", examples=[{"lowers": "40 h"}]
    )
    notices: list[CautionShape] = About([], description="Safety messages that hold for all work on it.")
