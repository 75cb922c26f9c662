"""Which coil builds there are: what as found may turn out to be, and what a travel can be reached with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sagwright.domain.build import Build, CoilFitting, Setting, coil_build
from sagwright.domain.coil_spring import Shelved
from sagwright.domain.sheet import Chassis, Sheet
from sagwright.domain.value import Unknown
from sagwright.planning.coil_model import preload_of, room_of, spring_of


def window(sheet: Sheet, shelved: Shelved, spacers: int, travel: float) -> tuple[float, float]:
    """Least and most preload [m] the adjuster gives a coil: neither loose topped out nor solid before full travel.

    The first is above the second where no place of the adjuster does.
    """
    spring = spring_of(sheet)
    out = float(preload_of(spring, shelved, spacers, travel))
    return max(0.0, out), min(out + spring.stack.range.si, room_of(shelved) - travel)


def coil_fittings(sheet: Sheet, travel: float) -> Iterator[CoilFitting]:
    """Every coil with every number of preload spacers that fits a travel, the adjuster not yet turned in."""
    spring = spring_of(sheet)
    for shelved in spring.coils:
        for spacers in range(spring.stack.most + 1):
            low, high = window(sheet, shelved, spacers, travel)
            if low <= high:
                yield CoilFitting(shelved.name, spacers, Unknown.NOT_MEASURED)


def coils_reaching(sheet: Sheet, chassis: Chassis, setting: Setting, travel: float) -> tuple[Build, ...]:
    """Every build that gives a travel by its setting."""
    return tuple(coil_build(chassis.name, setting, fitting) for fitting in coil_fittings(sheet, travel))


def possible_coils(sheet: Sheet, build: Build, travel: float) -> Iterator[Build]:
    """What a build may turn out to be where coil or preload spacers wait until it is open."""
    found = build.fitting
    if found is None:
        return
    spring = spring_of(sheet)
    names = [each.name for each in spring.coils] if isinstance(found.coil, Unknown) else [found.coil]
    counts = _counts(found.preload_spacers, spring.stack.most)
    adjuster = 0.0 if isinstance(found.adjuster, Unknown) else found.adjuster
    for name in names:
        for count in counts:
            seen = isinstance(found.coil, str) and isinstance(found.preload_spacers, int)
            if seen or _may_be(sheet, spring.named(name), count, adjuster, travel):
                yield replace(build, fitting=replace(found, coil=name, preload_spacers=count))


def _counts(count: int | Unknown, most: int) -> Iterable[int]:
    return range(most + 1) if isinstance(count, Unknown) else (count,)


def _may_be(sheet: Sheet, shelved: Shelved, spacers: int, adjuster: float, travel: float) -> bool:
    """Whether a coil nobody has seen fits: not loose, and not solid before full travel."""
    turned = float(preload_of(spring_of(sheet), shelved, spacers, travel)) + adjuster
    return 0.0 <= turned <= room_of(shelved) - travel
