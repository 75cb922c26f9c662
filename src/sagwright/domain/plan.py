"""What planning answers: findings, candidates, the target, and the work."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from sagwright.domain.build import Build, Change
from sagwright.domain.intake import Aim, Intake
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
from sagwright.domain.load import Load
from sagwright.domain.stance import StanceView
from sagwright.domain.task_kind import Task
from sagwright.domain.value import Figure, Value


class Severity(StrEnum):
    """How much a finding weighs."""

    REFUSE = "refuse"
    ASK = "ask"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check says.

    Attributes
    ----------
    code : str
        "travel.not-permitted"; phrases turns it into a sentence.
    field : str
        What it is about, as a path in the intake: "wish.travel".
    figures : tuple of (str, Figure)
        The numbers of its sentence, SI.
    words : tuple of (str, str)
        The names of its sentence.
    """

    code: str
    severity: Severity
    field: str
    figures: tuple[tuple[str, Figure], ...] = ()
    words: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Behaviour:
    """How a spring behaves under a load.

    Attributes
    ----------
    sag : float
        Compression under the load, n = 1 [m].
    sag_fraction : float
        The same over the travel.
    breakaway : float
        Force that lifts the unit off its top-out stop, friction included, n = 1 [N].
    mid_support : float
        Force at half travel over the load, at the stroke exponent.
    end_rise : float
        Force at 95 % over force at 50 % of travel, at the stroke exponent.
    capacity : float
        Energy to full travel, at the stroke exponent [J].
    """

    sag: float
    sag_fraction: float
    breakaway: float
    mid_support: float
    end_rise: float
    capacity: float


@dataclass(frozen=True, slots=True)
class SagBand:
    """Where friction lets the unit rest under a load [m]: reached from above, without friction, and from below."""

    after_lifting: float
    middle: float
    after_pressing: float


@dataclass(frozen=True, slots=True)
class FrictionView:
    """What friction makes of a build: the band of its sag, and the force that starts it moving [N] as it stands alone
    and with the wheel clamped in it."""

    sag: SagBand
    breakaway: float
    breakaway_with_wheel: float


@dataclass(frozen=True, slots=True)
class BehaviourU:
    """Standard uncertainty of each behaviour, in its own unit; None where unknown."""

    sag: float | None
    sag_fraction: float | None
    breakaway: float | None
    mid_support: float | None
    end_rise: float | None
    capacity: float | None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One reachable target with what it would do.

    Attributes
    ----------
    build : Build
    travel : float
        [m].
    pressure_gauge : float or None
        Topped out, in the workshop [Pa]; None for a coil.
    behaviour : Behaviour
    distance : float
        From the aim, in just-noticeable differences, at worst over what as found may turn out to be.
    distance_low : float
        The same at best.
    same_pressure : bool
        The row that puts the as-found pressure back, or leaves coil, preload spacers and adjuster as found.
    at_limit : bool
        The pressure of least distance lies outside the permitted range, so the limit is shown.
    permitted : bool
        It can be a target: within the sheet's limits and what the wish pins.
    pressure_u : float or None
        Standard uncertainty of the pressure once it is set with a gauge [Pa].
    behaviour_u : BehaviourU or None
    preload : float or None
        How far a coil is pressed topped out, spacers and adjuster together [m]; None for air.
    """

    build: Build
    travel: float
    pressure_gauge: float | None
    behaviour: Behaviour
    distance: float
    distance_low: float
    same_pressure: bool = False
    at_limit: bool = False
    permitted: bool = True
    pressure_u: float | None = None
    behaviour_u: BehaviourU | None = None
    preload: float | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """A spring over its travel: compression [m], slow force (n = 1) and stroke force [N], stroke stiffness [N/m],
    absolute pressure at the valve during the stroke [Pa], empty for a coil, energy stored by the stroke [J]."""

    compression: tuple[float, ...]
    slow_force: tuple[float, ...]
    stroke_force: tuple[float, ...]
    stroke_stiffness: tuple[float, ...]
    positive_abs: tuple[float, ...]
    energy: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Noticeable:
    """Differences a rider just notices: assumed, no source, settable.

    Attributes
    ----------
    sag : float
        Of travel.
    breakaway : float
        [N].
    relative : float
        Of mid support, end rise and capacity.
    """

    sag: float = 0.02
    breakaway: float = 10.0
    relative: float = 0.05


@dataclass(frozen=True, slots=True)
class SpringView:
    """What the spring does, as found and at the target.

    Attributes
    ----------
    load : Load or None
    slow_exponent, stroke_exponent : float
    noticeable : Noticeable
        What distances are counted in.
    as_found : tuple of Behaviour
        One per possible as-found build; several when something is unknown until open, none when nothing can be said.
    as_found_curve, target_curve : Curve or None
        The as-found one only when it is known.
    aim : Aim
        The aim that was used.
    as_found_u, target_u : BehaviourU
        Standard uncertainties, one for each behaviour as found, and of the target's.
    as_found_curve_u, target_curve_u : Curve or None
        The same of each number of the curves.
    as_found_friction, target_friction : FrictionView or None
        The as-found one only when it is known.
    as_found_preload : float or None
        How far a coil is pressed topped out, as found [m]; None for air, or where it is not known.
    sag_tells : float or None
        How far the pressure can be off that a sag, read with a rider, points at [Pa].
    ideal_error : float or None
        How far an ideal gas at the stroke's exponent is from real air in the valve's chamber at full travel, ideal/real
        − 1, of the target or else as found; None for a coil, or where real air is not known so far.
    """

    load: Load | None
    slow_exponent: float
    stroke_exponent: float
    noticeable: Noticeable
    aim: Aim
    as_found: tuple[Behaviour, ...] = ()
    as_found_curve: Curve | None = None
    target: Behaviour | None = None
    target_curve: Curve | None = None
    as_found_u: tuple[BehaviourU, ...] = ()
    target_u: BehaviourU | None = None
    as_found_curve_u: Curve | None = None
    target_curve_u: Curve | None = None
    as_found_friction: FrictionView | None = None
    target_friction: FrictionView | None = None
    sag_tells: float | None = None
    as_found_preload: float | None = None
    ideal_error: float | None = None


class KitKind(StrEnum):
    """What a line of a kit is."""

    TOOL = "tool"
    PART = "part"
    SINGLE_USE = "single-use part"
    FLUID = "fluid"


@dataclass(frozen=True, slots=True)
class KitLine:
    """One line of a kit.

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

    kind: KitKind
    name: str
    size: str = ""
    amount: Figure | None = None
    at_most: bool = False
    special: bool = False
    steps: tuple[str, ...] = ()


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
    gate: bool = False
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
    proven : bool
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
    proven: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """What ends the work: a criterion with its verdict, or a record that a gate does not pass without."""

    key: str
    what: str
    verdict: Verdict | None


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything between an intake and the stand.

    Of a plan that was gone on with, `done` holds what was done, `stops` what ends the work, and `steps` what is left.
    `needed_by` says for each step's key what needs it: the wish, as a task that changes the travel, and the tasks.
    Where what was found made the wish impossible, `way_back` is what the unit is closed at, and `steps` close it.
    """

    program: str
    intake: Intake = field(repr=False)
    findings: tuple[Finding, ...]
    candidates: tuple[Candidate, ...]
    target: Candidate | None
    changes: tuple[Change, ...]
    kit: tuple[KitLine, ...]
    steps: tuple[Step, ...]
    spring: SpringView
    cautions: tuple[Caution, ...]
    sequence: Sequence | None = None
    stance: StanceView | None = None
    done: tuple[Step, ...] = ()
    stops: tuple[Stop, ...] = ()
    needed_by: tuple[tuple[str, tuple[Task, ...]], ...] = ()
    way_back: Build | None = None

    @property
    def refused(self) -> bool:
        """Whether what was wished is refused."""
        return any(finding.severity is Severity.REFUSE for finding in self.findings)
