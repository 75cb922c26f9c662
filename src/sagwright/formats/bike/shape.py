"""The format bike/1 as it is written."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field as About

from sagwright.domain.bike import ClearancePlace
from sagwright.domain.value import Origin, Quantity, Value
from sagwright.errors import InputError
from sagwright.formats.bike.fields import AxlePoint, Marking, Radius, Steep, read_rim, read_tyre
from sagwright.formats.fields.kinds import Phrase, QuantityField, Shape, Word, Words, word
from sagwright.formats.sheet.item_shape import Label

BIKE: Final = "bike/1"

_Length = Annotated[Value, QuantityField(Quantity.LENGTH, 0.0, 3.0)]
Signed = Annotated[Value, QuantityField(Quantity.LENGTH, -0.5, 0.5)]
Share = Annotated[Value, QuantityField(Quantity.FRACTION, 0.05, 0.95)]
Mass = Annotated[Value, QuantityField(Quantity.MASS, 0.2, 100.0)]


class WheelShape(Shape):
    """A wheel: its tyre as marked, its measured radius, or both."""

    tyre: Annotated[Marking, Phrase(read_tyre, r"^\d{2,3}-\d{3}$|\d x \d")] | None = About(
        None, description="ISO 5775 marking, width first.", examples=["57-622"]
    )
    radius: Annotated[Value, Radius()] | None = About(
        None, description="Axle to ground, measured; estimated from the tyre if left out.", examples=["372 ± 2 mm"]
    )
    rim: Annotated[Marking, Phrase(read_rim)] | None = About(
        None, description="ISO 5775 marking of the rim, inside width first.", examples=["30-622"]
    )


class WheelsShape(Shape):
    """Both wheels."""

    front: WheelShape = About(description="Front wheel.")
    rear: WheelShape = About(description="Rear wheel.")


class ForkShape(Shape):
    """The fork the geometry was printed with."""

    axle_to_crown: _Length | None = About(
        None, description="Crown race seat to axle, topped out, along the steerer.", examples=["551 mm"]
    )
    axle_to_crown_straight: _Length | None = About(
        None, description="Crown race seat to axle, topped out, in a straight line by tape.", examples=["553 mm"]
    )
    offset: Annotated[Value, QuantityField(Quantity.LENGTH, -0.02, 0.1)] = About(
        description="Axle before the steering axis, square to it.", examples=["44 mm"]
    )
    travel: _Length = About(description="Its travel.", examples=["150 mm"])


class GeometryShape(Shape):
    """The frame as its maker prints it."""

    head_angle: Annotated[Value, Steep(50.0, 85.0, "65°")] = About(
        description="From the horizontal behind.", examples=["64.8°"]
    )
    seat_angle: Annotated[Value, Steep(60.0, 85.0, "77°")] | None = About(
        None, description="From the horizontal behind.", examples=["77°"]
    )
    chainstay: Annotated[Value, QuantityField(Quantity.LENGTH, 0.25, 0.6)] = About(
        description="Bottom bracket to rear axle, straight, topped out.", examples=["435 mm"]
    )
    bb_drop: Annotated[Value, QuantityField(Quantity.LENGTH, -0.15, 0.15)] | None = About(
        None, description="Bottom bracket below the rear axle.", examples=["30 mm"]
    )
    bb_height: Annotated[Value, QuantityField(Quantity.LENGTH, 0.15, 0.5)] | None = About(
        None, description="Bottom bracket over the ground; this or the drop.", examples=["342 mm"]
    )
    reach: _Length | None = About(None, description="Head tube's top before the bottom bracket.", examples=["472 mm"])
    stack: _Length | None = About(None, description="Head tube's top over the bottom bracket.", examples=["632 mm"])
    wheelbase: _Length | None = About(None, description="Axle to axle.", examples=["1237 mm"])
    front_centre: _Length | None = About(
        None, description="Bottom bracket to front axle, straight.", examples=["804 mm"]
    )
    head_tube: _Length | None = About(None, description="Its length.", examples=["110 mm"])
    lower_stack: _Length | None = About(
        None, description="Headset below the head tube, down to the crown race seat.", examples=["8 mm"]
    )


class PivotShape(Shape):
    """The one pivot of a rear end, seen from the bottom bracket."""

    ahead: Signed = About(description="Before the bottom bracket.", examples=["15 mm"])
    above: Signed = About(description="Over it.", examples=["40 mm"])


class RearShape(Shape):
    """Rear travel, and where the axle goes."""

    travel: Annotated[Value, QuantityField(Quantity.LENGTH, 0.01, 0.3)] = About(
        description="Rise of the axle.", examples=["140 mm"]
    )
    pivot: PivotShape | None = About(None, description="Where there is one pivot; straight up if left out.")
    path: list[Annotated[tuple[float, float], AxlePoint()]] = About(
        [], description="Or measured points.", examples=[["0 mm up, 0 mm back", "140 mm up, -6 mm back"]]
    )


class ContactShape(Shape):
    """Where a rider touches the bike."""

    crank: Annotated[Value, QuantityField(Quantity.LENGTH, 0.1, 0.2)] | None = About(
        None, description="Length of a crank.", examples=["170 mm"]
    )
    grips_ahead: Signed | None = About(
        None, description="Grips before the head tube's top; negative behind.", examples=["-40 mm"]
    )
    grips_above: Signed | None = About(None, description="Grips over it.", examples=["90 mm"])
    saddle_height: Annotated[Value, QuantityField(Quantity.LENGTH, 0.3, 1.0)] | None = About(
        None, description="Bottom bracket to the saddle's top, along the seat angle.", examples=["720 mm"]
    )


class LimitShape(Shape):
    """What fork the frame's maker permits."""

    longest_travel: _Length | None = About(None, description="Most travel.", examples=["150 mm"])
    shortest_travel: _Length | None = About(None, description="Least travel.", examples=["130 mm"])
    longest_axle_to_crown: _Length | None = About(None, description="Longest fork.", examples=["556 mm"])
    shortest_axle_to_crown: _Length | None = About(None, description="Shortest fork.", examples=["526 mm"])


class LimitsShape(LimitShape):
    """Everything the frame's maker limits."""

    by_wheel: dict[Annotated[str, Words(10)], LimitShape] = About(
        {}, description="Other limits by the bead seat of the front wheel.", examples=[{"584": {}}]
    )
    system_mass: Annotated[Value, QuantityField(Quantity.MASS, 30.0, 400.0)] | None = About(
        None, description="Rider, gear and bike.", examples=["130 kg"]
    )
    largest_rotor: _Length | None = About(None, description="Largest front rotor.", examples=["203 mm"])


class MeasuredShape(Shape):
    """A gap measured on the unit: air out, tyre at its highest pressure, bottomed by hand."""

    to: Annotated[ClearancePlace, word(ClearancePlace)] = About(
        description="What the tyre comes near.", examples=["crown"]
    )
    gap: Annotated[Value, QuantityField(Quantity.LENGTH, -0.05, 0.3)] = About(
        description="As measured.", examples=["9 ± 1 mm"]
    )
    tyre_radius: Annotated[Value, Radius()] | None = About(
        None, description="Of the tyre it was measured with, if that is another one.", examples=["368 mm"]
    )
    chassis: Label | None = About(None, description="Of the fork it was measured on, if that is another one.")


class ClearanceShape(Shape):
    """Room around the front tyre."""

    margin: Annotated[Value, QuantityField(Quantity.LENGTH, 0.0, 0.05)] | None = About(
        None, description="Gap below which someone must agree; 4 mm, assumed, if left out.", examples=["4 mm"]
    )
    measured: list[MeasuredShape] = About([], description="Gaps measured on the unit.")
    crown_depth: _Length | None = About(
        None, description="Underside of the crown below the race seat.", examples=["12 mm"]
    )
    crown_lead: Signed | None = About(None, description="That underside before the steering axis.", examples=["10 mm"])
    arch_height: _Length | None = About(None, description="Axle to the arch's nearest point.", examples=["384 mm"])
    down_tube: _Length | None = About(None, description="Its outside diameter.", examples=["54 mm"])
    mudguard: _Length | None = About(None, description="What hangs between tyre and crown.", examples=["3 mm"])


class BikeShape(Shape):
    """A bike."""

    shape: Annotated[str, Word({BIKE: BIKE})] = About(description="Which format this is.")
    name: Label = About(description="What it is called in the workshop.", examples=["Specimen trail bike, L"])
    origin: Annotated[Origin, word(Origin, Origin.COMPUTED)] = About(
        Origin.MANUAL, description="Of every value that does not say otherwise.", examples=["maker's manual"]
    )
    wheels: WheelsShape = About(description="Both wheels.")
    geometry: GeometryShape = About(description="The frame as its maker prints it.")
    fork: ForkShape = About(description="The fork the geometry was printed with.")
    rear: RearShape | None = About(None, description="Rear travel; left out for a rigid rear end.")
    contact: ContactShape | None = About(None, description="Where a rider touches it.")
    limits: LimitsShape | None = About(None, description="What the frame's maker limits.")
    clearance: ClearanceShape | None = About(None, description="Room around the front tyre.")
    mass: Mass | None = About(None, description="Ready to ride, rider off.", examples=["14.2 kg"])
    front_share: Share | None = About(None, description="Of that mass, on the front wheel.", examples=["46 %"])
    unsprung: Mass | None = About(None, description="Front wheel, rotor, axle and lowers.", examples=["3.3 kg"])
    rotor: _Length | None = About(None, description="Front rotor that is fitted.", examples=["200 mm"])


class OutlineShape(Shape):
    """A bike file, or what is known of the bike of a posted fork."""

    file: Label | None = About(None, description="A bike/1 file, as a path from this one.", examples=["trail.yaml"])
    head_angle: Annotated[Value, Steep(50.0, 85.0, "65°")] | None = About(
        None, description="From the horizontal behind.", examples=["65°"]
    )
    wheelbase: Annotated[Value, QuantityField(Quantity.LENGTH, 0.6, 1.8)] | None = About(
        None, description="Axle to axle.", examples=["1230 mm"]
    )
    offset: Annotated[Value, QuantityField(Quantity.LENGTH, -0.02, 0.1)] | None = About(
        None, description="Of the fork; gives the trail.", examples=["44 mm"]
    )
    front_radius: Annotated[Value, Radius()] | None = About(
        None, description="Of the front wheel; gives the trail.", examples=["372 mm"]
    )


def by_seat(key: str) -> float:
    """A bead seat diameter in mm as a key of `by_wheel`: "622" [m].

    Raises
    ------
    InputError
        If it is none.
    """
    if not key.isdigit():
        raise InputError("must be a bead seat diameter in mm, like 622", value=key)
    return int(key) * 1e-3
