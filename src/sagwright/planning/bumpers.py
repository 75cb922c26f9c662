"""The bumpers of a sheet as the spring's stops."""

from __future__ import annotations

from sagwright.domain import sheet
from sagwright.physics.bumper import AnyStop, Disc, DiscStop, Stack, Stop
from sagwright.physics.numeric import Real


def bumper(stop: sheet.Stop, starts: Real, sense: int) -> AnyStop:
    """A bumper that starts at a compression [m]: of one rate, or of disc springs."""
    if stop.discs is None:
        return Stop(starts, stop.rate.si, sense)
    return DiscStop(starts, stack_of(stop.discs), sense)


def stack_of(discs: sheet.DiscStack) -> Stack:
    """Disc springs as the formulas take them."""
    sizes = (discs.outside, discs.inside, discs.thickness, discs.cone, discs.elastic_modulus, discs.poisson)
    return Stack(Disc(*(size.si for size in sizes)), discs.series, discs.parallel)
