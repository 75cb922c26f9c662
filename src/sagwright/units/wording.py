"""The numbers of an error as text, in the units of who reads it."""

from __future__ import annotations

from typing import Final

from sagwright.errors import InputError, InputErrors, SagwrightError
from sagwright.units.choice import UnitChoice, amount_in, show_in

CLOSE: Final = 1e-3
"""Share of a number that may be lost when it is shown; a limit of 6.35 mm is no limit of 6.4 mm."""
MOST_DECIMALS: Final = 6


def worded(error: SagwrightError, choice: UnitChoice | None = None) -> SagwrightError:
    """An error whose figures, if it has any, stand in its texts."""
    chosen = choice or UnitChoice()
    if isinstance(error, InputErrors):
        return InputErrors(tuple(fault_in(one, chosen) for one in error.errors))
    return fault_in(error, chosen) if isinstance(error, InputError) else error


def fault_in(error: InputError, choice: UnitChoice) -> InputError:
    """One fault whose figures stand in its texts."""
    if not error.figures:
        return error
    return error.filled({name: _shown(number, quantity, choice) for name, (number, quantity) in error.figures.items()})


def _shown(number: float | tuple[float, ...], quantity: str, choice: UnitChoice) -> str:
    """A number with its unit; of a list the last one alone has it."""
    if not isinstance(number, tuple):
        return _faithful(number, quantity, choice)
    unit = choice.unit(quantity)
    *others, last = (_faithful(one, quantity, choice) for one in number)
    return ", ".join((*(one.removesuffix(unit).rstrip() for one in others), last))


def _faithful(si: float, quantity: str, choice: UnitChoice) -> str:
    """With as many decimals as usual, or more where they would lose too much."""
    amount = amount_in(choice, si, quantity)
    usual = show_in(choice, si, quantity)
    shown = usual.removesuffix(choice.unit(quantity)).rstrip()
    decimals = len(shown.partition(choice.decimal)[2])
    while decimals < MOST_DECIMALS and abs(round(amount, decimals) - amount) > CLOSE * abs(amount):
        decimals += 1
        usual = show_in(choice, si, quantity, digits=decimals)
    return usual
