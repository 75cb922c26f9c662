"""Tasks as people write them: "change-travel=130mm", "wipers"."""

from __future__ import annotations

from typing import Final

from sagwright.domain.task import QUANTITIES, Task, TaskKind
from sagwright.domain.value import Quantity
from sagwright.errors import MissingValue, OutOfRange
from sagwright.units import nearest, parse

EXAMPLES: Final = {
    TaskKind.SET_PRESSURE: "set-pressure=80psi",
    TaskKind.SECOND_PRESSURE: "second-pressure=150psi",
    TaskKind.NEGATIVE_PRESSURE: "negative-pressure=70psi",
    TaskKind.VOLUME_SPACERS: "volume-spacers=2",
    TaskKind.CHANGE_TRAVEL: "change-travel=130mm",
    TaskKind.INSPECT: "inspect=lowers",
    TaskKind.CHANGE_COIL: "change-coil=firm",
    TaskKind.PRELOAD_SPACERS: "preload-spacers=2",
    TaskKind.SET_PRELOAD: "set-preload=3",
}


_SETTINGS: Final = {
    "travel_spacers": Quantity.COUNT,
    "port_position": Quantity.COUNT,
    "shaft_travel": Quantity.LENGTH,
    "volume_spacers": Quantity.COUNT,
    "pressure": Quantity.PRESSURE,
    "top_out_spacers": Quantity.COUNT,
    "preload_spacers": Quantity.COUNT,
    "coil": None,
}
"""What can be found inside, and what kind of number it is; None for a name."""


def read_task(text: str) -> Task:
    """A task from its name, and its value after an equals sign where it wants one.

    Raises
    ------
    OutOfRange
        If there is no such task, or it takes no value.
    MissingValue, WrongUnit
        If its value is missing, or not a number with a unit of the right quantity.
    """
    name, equals, value = (part.strip() for part in text.partition("="))
    kind = _kind(name)
    wants = kind in EXAMPLES
    if wants and not value:
        raise MissingValue("needs a value", field=name, remedy=f"Write it like {EXAMPLES[kind]}.")
    if equals and not wants:
        raise OutOfRange("takes no value", field=name, value=value, remedy=f"Write only {name}.")
    if kind in QUANTITIES:
        return Task(kind, value=parse(value, QUANTITIES[kind]))
    return Task(kind, item=value)


def read_found(text: str) -> tuple[str, float | str]:
    """What was found inside: "travel_spacers=2", "shaft_travel=130mm".

    Raises
    ------
    InputError
        If it names no setting, or its value is no count or length.
    """
    field, _, value = (part.strip() for part in text.partition("="))
    if field not in _SETTINGS:
        remedy = f"There are: {', '.join(_SETTINGS)}."
        raise OutOfRange("must be a setting", value=field, field="found", remedy=remedy)
    quantity = _SETTINGS[field]
    return field, value if quantity is None else parse(value, quantity)


def _kind(name: str) -> TaskKind:
    names = [str(kind) for kind in TaskKind]
    if name in names:
        return TaskKind(name)
    guess = nearest(name, names)
    hint = f"Did you mean {guess}? " if guess else ""
    remedy = f"{hint}There are: {', '.join(names)}."
    raise OutOfRange("must be a task", value=name, field="task", remedy=remedy)
