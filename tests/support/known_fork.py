"""The plausible fork for which the figures of usual mistakes were computed by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from sagwright.domain.setup import Charge, Setup, StackSetting
from sagwright.domain.sheet import Chassis, Sheet
from tests.support.intakes import PSI, stack_sheet, value

LOAD = 340.0


RIGHT = Setup("mid", StackSetting(2, 2), 0, Charge(value(93 * PSI)))


@cache
def fork() -> Sheet:
    sheet = stack_sheet()
    spring = replace(
        sheet.air,
        bore=value(0.0318),
        shaft=value(0.010),
        positive_length=value(0.085),
        negative_length=value(0.050),
        volume_spacer=value(8e-6),
        positive_oil=value(0.0),
        negative_oil=value(0.0),
    )
    chassis = Chassis("mid", value(0.150), (0.13, 0.14, 0.15))
    damper = replace(sheet.damper, gas_pressure_gauge=value(2.1e5))  # 15 N, the least that is stated
    return replace(sheet, chassis=(chassis,), spring=spring, damper=damper)
