"""Questions about a gauge's reading, and their answers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sagwright.domain.intake import Surroundings


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
class PressureU:
    """Standard uncertainty of each number of an answer, in its unit; None where there is no number."""

    absolute_abs: float
    before_gauge: float | None
    reconnected_gauge: float | None
    taken: float | None
    there_gauge: float
    set_here_gauge: float
    per_kelvin: float


@dataclass(frozen=True, slots=True)
class PressureAnswer:
    """What the reading means.

    Attributes
    ----------
    question : PressureQuestion
    absolute_abs : float
        Behind the reading [Pa].
    before_gauge : float or None
        In the chamber before the pump was screwed on [Pa].
    reconnected_gauge : float or None
        What it will show when the pump is screwed on, empty, once more [Pa].
    taken : float or None
        Share of the gauge pressure that connecting takes.
    there_gauge : float
        What the same charge reads there, topped out [Pa].
    set_here_gauge : float
        What to set here so that it reads there what it reads here now [Pa].
    per_kelvin : float
        How much the reading moves per kelvin [Pa/K].
    u : PressureU
        From the gauge, the volumes and the thermometer; what the same pump reads again shares its bias.
    """

    question: PressureQuestion
    absolute_abs: float
    before_gauge: float | None
    reconnected_gauge: float | None
    taken: float | None
    there_gauge: float
    set_here_gauge: float
    per_kelvin: float
    u: PressureU
