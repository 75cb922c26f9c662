"""What is written after an option → SI, with the option's name in whatever is wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sagwright.domain.intake import Surroundings
from sagwright.errors import InputError, OutOfRange
from sagwright.units import UnitChoice, parse


def parse_number(option: str, text: str | None, quantity: str, choice: UnitChoice) -> float | None:
    """The number after an option in SI; None where the option is not there.

    Raises
    ------
    InputError
        If it is no number with a unit of that quantity.
    """
    if text is None:
        return None
    try:
        number = parse(text, quantity, decimal=choice.decimal)
    except InputError as error:
        raise error.at(file=None, line=None, field=option) from error
    if not math.isfinite(number):
        raise OutOfRange("must be a finite number", field=option, value=text)
    return number


@dataclass(frozen=True, slots=True)
class Limits:
    """What a number may be, both ends included [SI], and the same in words."""

    low: float
    high: float
    rule: str

    def hold(self, option: str, number: float | None, text: str | None) -> None:
        """Refuse a number outside.

        Raises
        ------
        OutOfRange
        """
        if number is not None and not self.low <= number <= self.high:
            raise OutOfRange(self.rule, field=option, value=text)


TEMPERATURE = Limits(233.15, 333.15, "must be a temperature from −40 to 60 °C")
ALTITUDE = Limits(-500.0, 9000.0, "must be an altitude from −500 to 9000 m")
_AIR = Limits(3e4, 1.1e5, "must be an air pressure from 300 to 1100 hPa")
READING = Limits(-1e5, 50e5, "must be a gauge pressure from −1 to 50 bar")
VOLUME = Limits(1e-8, 2e-3, "must be a volume from 0.01 ml to 2 l")
LOAD = Limits(0.0, 5000.0, "must be a force from 0 to 5000 N")


def limited(option: str, text: str | None, quantity: str, choice: UnitChoice, *, limits: Limits) -> float | None:
    """The number after an option in SI, within its limits; errors as `parse_number` and `Limits.hold`."""
    number = parse_number(option, text, quantity, choice)
    limits.hold(option, number, text)
    return number


def parse_location(prefix: str, written: dict[str, str | None], choice: UnitChoice) -> Surroundings:
    """Where something is, by the options `--<prefix>`, `--<prefix>-altitude` and `--<prefix>-air`.

    Raises
    ------
    InputError
        If one cannot be read or be, or altitude and air pressure are both given.
    """
    from sagwright.service.calculators import surroundings

    key = prefix.replace("-", "_")
    temperature = limited(f"--{prefix}", written[key], "temperature", choice, limits=TEMPERATURE)
    altitude = limited(f"--{prefix}-altitude", written[f"{key}_altitude"], "length", choice, limits=ALTITUDE)
    air = limited(f"--{prefix}-air", written[f"{key}_air"], "pressure", choice, limits=_AIR)
    if altitude is not None and air is not None:
        raise OutOfRange(
            f"must not stand beside --{prefix}-air", field=f"--{prefix}-altitude", remedy="Give one of the two."
        )
    return surroundings(temperature=temperature, altitude=altitude, air_pressure_abs=air)
