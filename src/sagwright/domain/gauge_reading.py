"""Questions about a gauge's reading, and their answers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sagwright.domain.intake import Surroundings
from sagwright.domain.value import Measured


class GaugeClass(StrEnum):
    """How good a pump's gauge is."""

    DIGITAL = "digital"
    DIAL = "dial"


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump on a valve.

    Attributes
    ----------
    hose : float
        Volume of its hose and gauge, up to its check valve [m³].
    joined : float
        Volume of all the gas behind the valve [m³].
    hose_gauge : float
        Pressure in the hose before it was screwed on, gauge [Pa].
    """

    hose: float
    joined: float
    hose_gauge: float = 0.0


@dataclass(frozen=True, slots=True)
class PressureQuestion:
    """A reading, what read it and where, and where else it matters.

    Attributes
    ----------
    reading_gauge : float
        [Pa].
    here, there : Surroundings
    pump : Pump or None
        None where nothing is asked about connecting.
    sealed : bool
        The gauge compares with air shut in its case at 101 325 Pa instead of the air around it.
    gauge : GaugeClass
    """

    reading_gauge: float
    here: Surroundings
    there: Surroundings
    pump: Pump | None = None
    sealed: bool = False
    gauge: GaugeClass = GaugeClass.DIGITAL


@dataclass(frozen=True, slots=True)
class PressureAnswer:
    """What the reading means.

    Uncertain by the gauge, the volumes and the thermometer; what the same pump reads again shares its bias.

    Attributes
    ----------
    question : PressureQuestion
    absolute_abs : Measured
        Behind the reading [Pa].
    before_gauge : Measured or None
        In the chamber before the pump was screwed on [Pa].
    reconnected_gauge : Measured or None
        What it will show when the pump is screwed on, empty, once more [Pa].
    taken : Measured or None
        Share of the gauge pressure that connecting takes.
    there_gauge : Measured
        What the same charge reads there, topped out [Pa].
    set_here_gauge : Measured
        What to set here so that it reads there what it reads here now [Pa].
    per_kelvin : Measured
        How much the reading moves per kelvin [Pa/K].
    """

    question: PressureQuestion
    absolute_abs: Measured
    before_gauge: Measured | None
    reconnected_gauge: Measured | None
    taken: Measured | None
    there_gauge: Measured
    set_here_gauge: Measured
    per_kelvin: Measured
