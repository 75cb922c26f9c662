"""An air spring as physics computes with it: its chambers, the transfer port, and the gas masses of a charge."""

from __future__ import annotations

import numpy as np

from sagwright.domain.setup import Charge
from sagwright.domain.sheet import Sheet, SpacerStack
from sagwright.physics.floating_piston import NEVER
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Mask, Real
from sagwright.physics.spring import Chamber, GasState, Port
from sagwright.planning.spring import valves
from sagwright.planning.spring.parts import Fit, SpringModel, disc_area, other_masses


def state_of(model: SpringModel, charge: Charge) -> GasState:
    """Gas masses of a charge, topped out, at the workshop's temperature."""
    pressure_abs = charge.pressure_gauge.si + charge.ambient_abs
    gas = R_AIR * charge.temperature
    air = tuple(pressure_abs * volume / gas for volume in per_pressure(model, charge))
    positive, negative = model.spring.chambers[:2]
    filled = valves.gauge_of(model.sheet, charge, valves.NEGATIVE_CHAMBER)
    fresh = (charge.ambient_abs + filled) * negative.at(0.0) / gas
    evened = charge.cycled & _reached(model)
    own = (pressure_abs * positive.at(charge.compression) / gas, fresh)
    masses = tuple(np.where(evened, even, alone) for even, alone in zip(air, own, strict=True))
    return GasState((*masses, *other_masses(model), *_behind(model, charge)), model.workshop.temperature)


def _behind(model: SpringModel, charge: Charge) -> tuple[Real, ...]:
    """Gas behind the floating piston, if there is one."""
    piston = model.sheet.air.second
    if piston is None:
        return ()
    pressure = valves.gauge_of(model.sheet, charge, valves.SECOND_CHAMBER)
    return ((pressure + charge.ambient_abs) * piston.volume.si / (R_AIR * charge.temperature),)


def air_chambers(sheet: Sheet, fit: Fit) -> tuple[Chamber, Chamber]:
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
        length = length + fit.travel
        height = mechanism.height.si * fit.stack
        solid = disc_area(mechanism.outside) - shaft
    taken = fit.volume_spacers * spring.volume_spacer.si + spring.positive_oil.si
    negative = (bore - shaft) * (spring.negative_length.si + height) - solid * height - spring.negative_oil.si
    return Chamber("positive", bore * length - taken, -bore), Chamber("negative", negative, bore - shaft)


def transfer_port(sheet: Sheet, fit: Fit) -> Port:
    """The transfer port, over the compressions at which it is open.

    It moves with the spacers, one hole per spacer; where hole and spacers differ it opens a spacer's height later
    (ahead), or earlier and perhaps never (behind), per hole of difference.
    """
    transfer_port, mechanism = sheet.air.transfer_port, sheet.mechanism
    if sheet.air.negative_gauge is not None:
        return Port(0, 1, NEVER, 2.0 * NEVER)
    opens: Real = transfer_port.opens_at.si
    if isinstance(mechanism, SpacerStack) and transfer_port.positions > 1:
        opens = opens + (fit.hole - fit.stack) * mechanism.height.si
    return Port(0, 1, opens, opens + transfer_port.band.si)


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
