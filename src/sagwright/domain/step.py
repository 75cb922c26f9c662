"""The work at the stand: steps with what each needs first, their order, the tools and parts, and what ends the work."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sagwright.domain.item import (
    Act,
    Caution,
    ChargeStage,
    Criterion,
    Fluid,
    Part,
    Press,
    Record,
    Tool,
    Torque,
    Verdict,
)
from sagwright.domain.setup import Change
from sagwright.domain.value import Figure, Value


class SupplyKind(StrEnum):
    """What a line of a tools and parts is."""

    TOOL = "tool"
    PART = "part"
    SINGLE_USE = "single-use part"
    FLUID = "fluid"


@dataclass(frozen=True, slots=True)
class Supply:
    """One line of a tools and parts.

    Attributes
    ----------
    amount : Figure or None
        Pieces, or a volume [m³] for a fluid; None where a smear is meant.
    at_most : bool
        How many it takes shows when the unit is open.
    special : bool
        An ordinary workshop may lack it.
    steps : tuple of str
        Keys of the steps that use it.
    """

    kind: SupplyKind
    name: str
    size: str = ""
    amount: Figure | None = None
    at_most: bool = False
    special: bool = False
    steps: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """What the line is called where it is ticked as ready: "tool: socket 26 mm"."""
        return f"{self.kind.value}: {self.name} {self.size}".strip()


@dataclass(frozen=True, slots=True)
class Need:
    """A step that must come before, and the rule that says so."""

    step: str
    rule: str


@dataclass(frozen=True, slots=True)
class Step:
    """One action at the stand, in one position.

    Attributes
    ----------
    key : str
        "off:lowers"; unique in a plan.
    act, item : Act, str
    do : str
        The instruction.
    needs : tuple of Need
        Steps that come before it, each with the rule that orders them; one pair may be ordered by several rules.
    changes : tuple of Change
        What it brings to the target's setting.
    stage : ChargeStage or None
        Which charge a charging step puts in.
    pressure_gauge : float or None
        The pressure it sets [Pa].
    renew : tuple of Part
        New parts it fits.
    inspect : tuple of Criterion
        What it inspects.
    idle : float
        How long to wait before it begins, so that what it loads is cured [s].
    press : Press or None
        How far it presses a charged unit in; `pressure_gauge` is then the peak to be expected.
    rules : tuple of str
        Interlocks it keeps by how it is done, not by when.
    failed : tuple of str
        Once it was done: keys of its criteria and records that were not met.
    """

    key: str
    act: Act
    item: str
    name: str
    do: str
    position: str
    minutes: Value
    needs: tuple[Need, ...] = ()
    tools: tuple[Tool, ...] = ()
    torque: Torque | None = None
    fluid: Fluid | None = None
    cautions: tuple[Caution, ...] = ()
    hold_point: bool = False
    records: tuple[Record, ...] = ()
    waiting: Value | None = None
    changes: tuple[Change, ...] = ()
    stage: ChargeStage | None = None
    pressure_gauge: float | None = None
    renew: tuple[Part, ...] = ()
    inspect: tuple[Criterion, ...] = ()
    idle: float = 0.0
    press: Press | None = None
    rules: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sequence:
    """How good the order of the steps is.

    An order is judged by its cost, then by its waiting, then by how long it keeps to an earlier order from the start.

    Attributes
    ----------
    cost, bound : float
        What the order costs, and what no order costs less than [s]: the steps' time, and a price for every set of tools
        taken up and every position turned to, the first ones included.
    idle, idle_bound : float
        Time in which nothing can be done but wait, and what no order of that cost waits less than [s].
    tool_changes, position_changes : int
    tool_price, position_price : float
        [s].
    optimal : bool
        No order is better; otherwise it is the best one found when the search was given up.
    """

    cost: float
    bound: float
    idle: float
    idle_bound: float
    tool_changes: int
    position_changes: int
    tool_price: float
    position_price: float
    optimal: bool


@dataclass(frozen=True, slots=True)
class WorkStop:
    """What ends the work: a criterion with its verdict, or a record that a hold point does not pass without."""

    key: str
    what: str
    verdict: Verdict | None
