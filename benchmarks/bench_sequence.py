"""How long a proven order takes: for real work, beside OR-Tools, and for wide work."""

from __future__ import annotations

from benchmarks.timing import Timed, benchmark
from sagwright.domain.plan import Plan
from sagwright.domain.step import Step
from sagwright.domain.task import Ordering, Task, TaskKind
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.work.sequence import least_work_from
from sagwright.planning.work.tasks import plan_tasks
from tests.reference.cp_sat import proven_cost
from tests.reference.units import Work, chains
from tests.support.search import searched

TASKS = (
    Task(TaskKind.SET_PRESSURE, 550e3),
    Task(TaskKind.CHANGE_TRAVEL, 0.13),
    Task(TaskKind.WIPERS),
)


@benchmark("sequence_of_three_tasks")
def three_tasks() -> Timed[float | None]:
    """Pressure, travel and wipers of the demo fork; the baseline proves the cost of the same steps and no more."""
    sheet = load_sheet("specimen/t35")

    def work() -> Plan:
        least_work_from.cache_clear()
        return plan_tasks(sheet, TASKS, program="benchmark", chassis="mid", ordering=Ordering())

    plain = _plain(work().work.steps)
    return Timed(work=lambda: _proven_cost(work()), baseline=lambda: proven_cost(plain, seconds=60.0))


@benchmark("sequence_of_sixty_wide")
def sixty_wide() -> Timed[bool]:
    """A drawn unit of sixty steps on eight chains, five tools and three positions."""
    unit = chains(4, size=60, width=8, tools=5, positions=3)
    return Timed(work=lambda: searched(unit).optimal)


def _proven_cost(made: Plan) -> float | None:
    return made.work.sequence.cost if made.work.sequence is not None and made.work.sequence.optimal else None


def _plain(steps: tuple[Step, ...]) -> Work:
    """Steps as the plain numbers of the reference."""
    number = {step.key: place for place, step in enumerate(steps)}
    return Work(
        seconds=tuple(round(step.minutes.si) for step in steps),
        tools=tuple(" ".join(sorted(f"{tool.name} {tool.size}" for tool in step.tools)) for step in steps),
        positions=tuple(step.position for step in steps),
        before=tuple(frozenset(number[need.step] for need in step.needs) for step in steps),
        waits=tuple(0 for _ in steps),
    )
