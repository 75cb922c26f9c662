"""Kinds of spring side by side, behind one interface: `spring_kind` is where an air spring and a coil part ways."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, Protocol

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setting, Setup
from sagwright.domain.sheet import Chassis, Sheet
from sagwright.physics.spring import GasState
from sagwright.planning.spring.air import AIR
from sagwright.planning.spring.coil import COIL
from sagwright.planning.spring.parts import Fit, SpringModel


class SpringKind(Protocol):
    """What planning asks of a kind of spring."""

    @property
    def unset(self) -> str:
        """Why a unit whose spring has not been read cannot be ridden as before: a word of a finding."""

    @property
    def tested(self) -> str:
        """How the spring stands in the standard's test: a word of a finding."""

    def known(self, setup: Setup) -> bool:
        """Whether everything that its force depends on, besides what sets the travel, is known."""

    def can_be_drawn(self, setup: Setup) -> bool:
        """Whether what is inside is known, so that it can be drawn."""

    def set_up(self, setup: Setup) -> bool:
        """Whether anybody knows how it is set from outside: its charge, or its preload adjuster."""

    def fit(self, sheet: Sheet, setup: Setup) -> Fit:
        """What one known build puts into the spring.

        Raises
        ------
        OutOfRange
            If the setup leaves something unknown, names a hole or a coil there is not, or leaves no travel.
        """

    def side_by_side(self, sheet: Sheet, setups: Sequence[Setup]) -> Fit:
        """Builds of one chassis as arrays, at no charge or preload yet."""

    def state(self, model: SpringModel, setup: Setup) -> GasState:
        """The gas of a known build."""

    def reachable_setups(self, sheet: Sheet, chassis: Chassis, setting: Setting) -> tuple[Setup, ...]:
        """Every build with a setting, not yet charged or turned in."""

    def possible_setups(self, sheet: Sheet, setup: Setup, settings: Iterable[Setting]) -> Iterator[Setup]:
        """What a build may turn out to be once it is open, with each of the settings it may have."""

    def unopened(self, chassis: str, setting: Setting) -> Setup:
        """The setup of a unit that has been neither opened nor read."""

    def example(self, sheet: Sheet, chassis: str, setting: Setting) -> Setup:
        """A build to be drawn."""

    def softest(self, sheet: Sheet, setup: Setup, workshop: Surroundings) -> Setup:
        """A build at the lowest force that is permitted without opening it."""

    def keep_external(self, found: Setup, target: Setup) -> Setup:
        """The target with what is set from outside as found, where that is the same to a gauge or an eye."""


_KINDS: Final[dict[str, SpringKind]] = {"air": AIR, "coil": COIL}


def spring_kind(sheet: Sheet) -> SpringKind:
    """The kind of spring of a sheet."""
    return _KINDS[sheet.spring.kind]
