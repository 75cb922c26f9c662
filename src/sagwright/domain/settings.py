"""What is set in a unit, a row for each setting: what holds it, what asks for it, and the work that makes it.

Whoever goes over settings goes over these rows, so that a new mechanism is a row here and a model in planning.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.setup import Setpoint, Setup
from sagwright.domain.task import TaskKind
from sagwright.domain.value import Quantity

Holder = Literal["travel", "setting", "air", "charge", "coil", "unit"]


@dataclass(frozen=True, slots=True)
class UnitSetting:
    """One setting of a unit.

    Attributes
    ----------
    key : str
        Its name in changes, in what was found inside, and in files.
    holder : str
        What of a build holds it: "setting" (what sets the travel), "air" (an air fork's own), "charge" (the pressures
        in it), "coil" (a coil's fitting), "unit" (any build's own); "travel", which follows from another, is in none.
    quantity : Quantity or None
        Of the number that people give; None for a name, or for what has several numbers.
    role : Role or None
        Of the item that it is set on.
    wish : str
        The field of a wish that pins it; empty where none does.
    task : TaskKind or None
        The task that asks for it.
    steps : tuple of str
        Beginnings of the keys of the steps that make it, where that is not a change of its own item.
    closed_by : tuple of str
        Beginnings of the keys of the steps after which it stays as it was decided: it is made, or closed in.
    inside : bool
        It is seen only when the unit is open.
    only : str
        The kind of spring that alone has it, where its holder does not say so.
    """

    key: str
    holder: Holder
    quantity: Quantity | None
    role: Role | None = None
    wish: str = ""
    task: TaskKind | None = None
    steps: tuple[str, ...] = ()
    closed_by: tuple[str, ...] = ()
    inside: bool = True
    only: str = ""

    @property
    def spring(self) -> str:
        """The kind of spring that alone has it; empty where any has."""
        return self.only or {"air": "air", "charge": "air", "coil": "coil"}.get(self.holder, "")

    @property
    def made_by(self) -> tuple[str, ...]:
        """Beginnings of the keys of the steps that make it, after which it can be no extra work any more."""
        return self.steps or (f"{Act.CHANGE}:{self.key}",)

    def has(self, setup: Setup) -> bool:
        """Whether a build has such a setting."""
        return hasattr(self._part(setup), self.key)

    def of(self, setup: Setup) -> Setpoint:
        """What it is in a build that has it, as the build holds it."""
        value: Setpoint = getattr(self._part(setup), self.key)
        return value

    def put(self, setup: Setup, value: Setpoint) -> Setup:
        """A build that has it, with another value."""
        part: Any = self._part(setup)
        changed = replace(part, **{self.key: value})
        field = {"setting": "setting", "coil": "fitting"}.get(self.holder)
        return changed if field is None else replace(setup, **{field: changed})

    def _part(self, setup: Setup) -> object:
        """What of a build holds it; None where the build has none."""
        air = setup if setup.fitting is None else None
        parts = {"setting": setup.setting, "coil": setup.fitting, "air": air, "unit": setup}
        return parts.get(self.holder)


CHARGED: Final = tuple(f"{Act.CHARGE}:{stage}" for stage in (ChargeStage.RIDING, ChargeStage.FINAL))
"""Beginnings of the steps after which the charge to ride with is in."""

_COUNT, _GAUGE = Quantity.COUNT, Quantity.PRESSURE
_CAP_ON: Final = ("change:volume_spacers", "on:air_cap", "charge:")
_COIL_IN: Final = ("change:coil", "change:preload_spacers", "on:spring_cap")

SETTINGS: Final = (
    UnitSetting("travel_spacers", "setting", _COUNT, Role.TRAVEL_SPACERS),
    UnitSetting("port_position", "setting", _COUNT, Role.TRANSFER_PORT),
    UnitSetting("shaft_travel", "setting", Quantity.LENGTH, Role.AIR_SHAFT),
    UnitSetting("top_out_spacers", "setting", _COUNT, Role.TOP_OUT_SPACERS, only="coil"),
    UnitSetting(
        "volume_spacers",
        "air",
        _COUNT,
        Role.VOLUME_SPACERS,
        wish="volume_spacers",
        task=TaskKind.VOLUME_SPACERS,
        closed_by=_CAP_ON,
    ),
    UnitSetting("coil", "coil", None, Role.COIL, "coil", TaskKind.CHANGE_COIL, closed_by=_COIL_IN),
    UnitSetting(
        "preload_spacers",
        "coil",
        _COUNT,
        Role.PRELOAD_SPACERS,
        wish="preload_spacers",
        task=TaskKind.PRELOAD_SPACERS,
        closed_by=_COIL_IN,
    ),
    UnitSetting(
        "adjuster",
        "coil",
        Quantity.RATIO,
        Role.PRELOAD,
        wish="adjuster",
        task=TaskKind.SET_PRELOAD,
        steps=("on:preload_adjuster",),
        inside=False,
    ),
    UnitSetting("legs", "unit", None, Role.LOWER_LEG_OIL, inside=False),
    UnitSetting("charge", "air", None, Role.AIR_CHARGE, inside=False),
)
"""Settings that a build holds, in the order in which their changes are told."""

BY_KEY: Final = {row.key: row for row in SETTINGS}

SETS_TRAVEL: Final = tuple(row.role for row in SETTINGS if row.holder == "setting" and row.role is not None)
"""Roles of the items that the travel is set on."""

PRESSURES: Final = tuple(
    UnitSetting(key, "charge", _GAUGE, role, wish=wish, task=task, steps=CHARGED, inside=False)
    for key, role, wish, task in (
        ("pressure", Role.AIR_CHARGE, "pressure_gauge", TaskKind.SET_PRESSURE),
        ("second_pressure", Role.SECOND_CHARGE, "second_gauge", TaskKind.SECOND_PRESSURE),
        ("negative_pressure", Role.NEGATIVE_CHARGE, "negative_gauge", TaskKind.NEGATIVE_PRESSURE),
    )
)
"""What a charge is made of: at the main valve, and at the valves of chambers of their own."""

TRAVEL: Final = UnitSetting(
    "travel", "travel", Quantity.LENGTH, wish="travel", task=TaskKind.CHANGE_TRAVEL, steps=("",), inside=False
)
"""What follows from those that set it."""

TASK_SETTINGS: Final = {row.task: row for row in (TRAVEL, *PRESSURES, *SETTINGS) if row.task is not None}
"""By the task that asks for it."""

QUANTITIES: Final = {kind: row.quantity for kind, row in TASK_SETTINGS.items() if row.quantity is not None}
"""What kind of number a task's value is."""
