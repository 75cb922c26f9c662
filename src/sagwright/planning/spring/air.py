"""An air spring as physics computes with it: its chambers, the transfer port, and the gas masses of a charge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Charge, Setting, Setup, StackSetting
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack
from sagwright.domain.value import Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.floating_piston import NEVER
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Mask, Real
from sagwright.physics.spring import Chamber, GasState, Port
from sagwright.planning.spring import valves
from sagwright.planning.spring.parts import (
    Fit,
    SpringModel,
    columns,
    disc_area,
    most_volume_spacers,
    other_masses,
    travel_of,
    with_legs,
)


@dataclass(frozen=True, slots=True)
class AirFit(Fit):
    """What builds put into an air spring.

    Attributes
    ----------
    hole : float or array
        The transfer port's hole.
    volume_spacers : float or array
    """

    hole: Real = 0
    volume_spacers: Real = 0

    def chambers(self, sheet: Sheet) -> tuple[Chamber, ...]:
        """Positive and negative chamber.

        With travel spacers the bottomed position stays: V_pos = A_bore·(L_bottomed + T − x) − volume spacers − oil,
        V_neg = (A_bore − A_shaft)·(L_neg + n·h + x) − n·V_spacer − oil. With a shaft per travel the topped-out chambers
        stay and there is no stack.
        """
        spring, mechanism = sheet.air, sheet.mechanism
        bore, shaft = disc_area(spring.bore), disc_area(spring.shaft)
        length: Real = spring.positive_length.si
        height: Real = 0.0
        solid = 0.0
        if isinstance(mechanism, SpacerStack):
            length = length + self.travel
            height = mechanism.height.si * self.stack
            solid = disc_area(mechanism.outside) - shaft
        taken = self.volume_spacers * spring.volume_spacer.si + spring.positive_oil.si
        negative = (bore - shaft) * (spring.negative_length.si + height) - solid * height - spring.negative_oil.si
        return Chamber("positive", bore * length - taken, -bore), Chamber("negative", negative, bore - shaft)

    def behind(self, sheet: Sheet) -> tuple[Chamber, ...]:
        """The second positive chamber, where there is one."""
        piston = sheet.air.second
        return () if piston is None else (Chamber("second positive", piston.volume.si, 0.0),)

    def ports(self, sheet: Sheet) -> tuple[Port, ...]:
        """The transfer port, over the compressions at which it is open.

        It moves with the spacers, one hole per spacer; where hole and spacers differ it opens a spacer's height later
        (ahead), or earlier and perhaps never (behind), per hole of difference.
        """
        transfer_port, mechanism = sheet.air.transfer_port, sheet.mechanism
        if sheet.air.negative_gauge is not None:
            return (Port(0, 1, NEVER, 2.0 * NEVER),)
        opens: Real = transfer_port.opens_at.si
        if isinstance(mechanism, SpacerStack) and transfer_port.positions > 1:
            opens = opens + (self.hole - self.stack) * mechanism.height.si
        return (Port(0, 1, opens, opens + transfer_port.band.si),)

    def stops(self, sheet: Sheet) -> tuple[LinearBumper, ...]:
        """A negative coil: a bumper that pulls in."""
        pulls = sheet.air.negative_coil
        return () if pulls is None else (LinearBumper(pulls.length.si, pulls.rate.si, -1),)


class AirKind:
    """Springs of gas, those with a second valve too."""

    unset = "pressure-unknown"
    tested = "lowest-pressure"

    def known(self, setup: Setup) -> bool:
        """Whether its charge is known."""
        return not isinstance(setup.charge, Unknown)

    set_up = known

    def can_be_drawn(self, setup: Setup) -> bool:
        """Whether its volume spacers are known."""
        return not isinstance(setup.volume_spacers, Unknown)

    def fit(self, sheet: Sheet, setup: Setup) -> AirFit:
        """Its spacers and its hole."""
        setting = setup.setting
        travel = travel_of(sheet, sheet.chassis_named(setup.chassis), setting)
        stack, hole = (setting.travel_spacers, setting.port_position) if isinstance(setting, StackSetting) else (0, 0)
        spacers = setup.volume_spacers
        if isinstance(travel, Unknown) or isinstance(stack, Unknown):
            raise OutOfRange("must be known to compute the spring", field="as_found.travel_spacers")
        if isinstance(hole, Unknown) or isinstance(spacers, Unknown):
            raise OutOfRange("must be known to compute the spring", field="as_found.volume_spacers")
        if not 0 <= hole < sheet.air.transfer_port.positions:
            raise OutOfRange(
                f"must be a hole between 0 and {sheet.air.transfer_port.positions - 1}",
                field="as_found.port_position",
                value=str(hole),
                remedy="Count from 0, the hole for no travel spacers.",
            )
        return with_legs(sheet, setup, AirFit(travel, stack, hole=hole, volume_spacers=spacers))

    def side_by_side(self, sheet: Sheet, setups: Sequence[Setup]) -> AirFit:
        """Without a charge."""
        fits = [self.fit(sheet, setup) for setup in setups]
        return replace(fits[0], **columns(fits, "travel", "stack", "hole", "volume_spacers"))

    def state(self, model: SpringModel, setup: Setup) -> GasState:
        """The masses of its charge."""
        if isinstance(setup.charge, Unknown):
            raise OutOfRange("must be known to compute the spring", field="as_found.charge")
        return state_of(model, setup.charge)

    def reachable_setups(self, sheet: Sheet, chassis: Chassis, setting: Setting) -> tuple[Setup, ...]:
        """One for each permitted number of volume spacers."""
        counts = range(most_volume_spacers(sheet, setting) + 1)
        return tuple(Setup(chassis.name, setting, count, Unknown.NOT_MEASURED) for count in counts)

    def possible_setups(self, sheet: Sheet, setup: Setup, settings: Iterable[Setting]) -> Iterator[Setup]:
        """With every permitted number of volume spacers, where nobody has seen them."""
        seen = setup.volume_spacers
        for setting in settings:
            most = most_volume_spacers(sheet, setting)
            for count in range(most + 1) if isinstance(seen, Unknown) else (seen,):
                yield replace(setup, setting=setting, volume_spacers=count)

    def unopened(self, chassis: str, setting: Setting) -> Setup:
        """With neither spacers nor charge known."""
        return Setup(chassis, setting, Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED)

    def example(self, sheet: Sheet, chassis: str, setting: Setting) -> Setup:
        """With one volume spacer."""
        del sheet
        return Setup(chassis, setting, 1, Unknown.NOT_MEASURED)

    def softest(self, sheet: Sheet, setup: Setup, workshop: Surroundings) -> Setup:
        """At the lowest permitted pressures."""
        owns = valves.own_valves_of(sheet)
        lowest = {own.field: Value(own.span.low) for own in owns if own.span and not own.valve.follows}
        main = Charge(Value(sheet.air.pressure_gauge.low), 0.0, workshop.temperature, workshop.ambient_abs)
        return replace(setup, charge=valves.with_valve_pressures(main, lowest))

    def keep_external(self, found: Setup, target: Setup) -> Setup:
        """Its charges as found: each that is the same, and all that was said of it where nothing else changes."""
        before, after = found.charge, target.charge
        if isinstance(before, Unknown) or isinstance(after, Unknown):
            return target
        after = valves.unchanged_valves(before, after)
        alike = replace(before, pressure_gauge=after.pressure_gauge) == after
        near = abs(before.pressure_gauge.si - after.pressure_gauge.si) < valves.SAME
        unchanged = alike and near and target.volume_spacers == found.volume_spacers
        return replace(target, charge=before if unchanged else after)


AIR: Final = AirKind()


def state_of(model: SpringModel, charge: Charge, read: valves.Gauges | None = None) -> GasState:
    """Gas masses of a charge, topped out, at the workshop's temperature.

    `read` is what its valves read, if not the charge's own numbers: arrays, one element a case.
    """
    gauges = valves.read_at(charge) if read is None else read
    pressure_abs = gauges[valves.MAIN] + charge.ambient_abs
    gas = R_AIR * charge.temperature
    air = tuple(pressure_abs * volume / gas for volume in per_pressure(model, charge))
    positive, negative = model.spring.chambers[:2]
    filled = valves.gauge_of(model.sheet, gauges, valves.NEGATIVE_CHAMBER)
    fresh = (charge.ambient_abs + filled) * negative.at(0.0) / gas
    evened = charge.cycled & _reached(model)
    own = (pressure_abs * positive.at(charge.compression) / gas, fresh)
    masses = tuple(np.where(evened, even, alone) for even, alone in zip(air, own, strict=True))
    return GasState((*masses, *other_masses(model), *_behind(model, charge, gauges)), model.workshop.temperature)


def _behind(model: SpringModel, charge: Charge, gauges: valves.Gauges) -> tuple[Real, ...]:
    """Gas behind the floating piston, if there is one."""
    piston = model.sheet.air.second
    if piston is None:
        return ()
    pressure = valves.gauge_of(model.sheet, gauges, valves.SECOND_CHAMBER)
    return ((pressure + charge.ambient_abs) * piston.volume.si / (R_AIR * charge.temperature),)


def _reached(model: SpringModel) -> Mask:
    """Whether the transfer port is open anywhere in the travel."""
    port = model.spring.ports[0]
    return (np.asarray(port.closes) > 0) & (np.asarray(port.opens) < model.spring.travel)


def per_pressure(model: SpringModel, charge: Charge) -> tuple[Real, Real]:
    """Volumes that positive and negative gas would fill at the valve's pressure, after cycling and topping out.

    The last passing of the transfer port was outward, so the chambers parted where it closes on the way out.
    """
    positive, negative = model.spring.chambers[:2]
    port, travel = model.spring.ports[0], model.spring.travel
    parted = np.clip(port.opens, 0.0, travel)
    joined_until = np.clip(port.closes, 0.0, travel)
    x = charge.compression
    inside = (x > parted) & (x < joined_until)
    beyond = x >= joined_until
    # pV of the joined gas over the valve's pressure, by where the valve was read
    shared_beyond = positive.at(x) / positive.at(joined_until) * (positive.at(joined_until) + negative.at(joined_until))
    shared_before = positive.at(x) / positive.at(parted) * (positive.at(parted) + negative.at(parted))
    total = np.where(beyond, shared_beyond, np.where(inside, positive.at(x) + negative.at(x), shared_before))
    share = positive.at(parted) / (positive.at(parted) + negative.at(parted))
    return total * share, total * (1.0 - share)
