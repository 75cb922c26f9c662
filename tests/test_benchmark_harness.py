"""The benchmark harness, run on a clock of our own: nothing here depends on how fast this machine is."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmarks.report import Budget, BudgetError, Row, match_names, read_budgets, table
from benchmarks.run import FOLDER, find_benchmarks
from benchmarks.timing import MOST_RUNS, Disagreement, Measured, Timed, measure, seconds_of


class Clock:
    """Stands still but for the work that moves it on."""

    def __init__(self) -> None:
        self.now = 0.0
        self.calls = 0

    def __call__(self) -> float:
        return self.now

    def work(self, *seconds: float) -> None:
        """Take the given times in turn, over and over."""
        self.now += seconds[self.calls % len(seconds)]
        self.calls += 1


def row(seconds: float, baseline_seconds: float | None = None) -> Row:
    return Row("plan", Budget("a plan", 0.1), Measured(seconds, baseline_seconds))


def test_the_median_of_the_runs_asked_for() -> None:
    clock = Clock()
    assert seconds_of(lambda: clock.work(1.0, 2.0, 9.0), 3, clock=clock) == 2.0
    assert clock.calls == 3


def test_another_share_of_the_runs() -> None:
    clock = Clock()
    times = [float(number) for number in range(1, 21)]
    assert seconds_of(lambda: clock.work(*times), 20, clock=clock, share=0.95) == 19.0


@pytest.mark.parametrize(("seconds", "runs"), [(10.0, 5), (0.0625, 8), (0.0, MOST_RUNS)])
def test_quick_work_runs_more_often(seconds: float, runs: int) -> None:
    clock = Clock()
    seconds_of(lambda: clock.work(seconds), None, clock=clock)
    assert clock.calls == runs


def test_work_and_baseline_are_both_timed() -> None:
    clock = Clock()
    alone = Timed(work=lambda: clock.work(1.0), runs=4)
    assert measure(alone, clock=clock) == Measured(1.0, None)
    compared = Timed(work=lambda: clock.work(1.0), baseline=lambda: clock.work(4.0))
    assert measure(compared, clock=clock) == Measured(1.0, 4.0)


def test_a_baseline_with_another_answer_is_not_timed() -> None:
    with pytest.raises(Disagreement):
        measure(Timed(work=lambda: 1.0, baseline=lambda: 2.0))
    close = Timed(work=lambda: 1.0, baseline=lambda: 1.1, agree=lambda a, b: abs(a - b) < 0.2, runs=1)
    assert measure(close).baseline_seconds is not None


@pytest.mark.parametrize(("seconds", "verdict"), [(0.1, "kept"), (0.125, "over"), (0.16, "FAILS")])
def test_a_budget_fails_well_above(seconds: float, verdict: str) -> None:
    assert row(seconds).verdict == verdict


def test_only_what_is_above_the_baseline_may_be_counted() -> None:
    clock = Clock()
    both = Timed(work=lambda: clock.work(5.0), baseline=lambda: clock.work(3.0), above=True)
    measured = measure(both, clock=clock)
    assert (measured.seconds, measured.counted) == (5.0, 2.0)
    assert Row("plan", Budget("a plan", 2.5), measured).verdict == "kept"
    assert Row("plan", Budget("a plan", 1.0), measured).verdict == "FAILS"


def test_what_the_work_reads_may_be_what_is_measured(tmp_path: Path) -> None:
    path = tmp_path / "budgets.toml"
    path.write_text('[memory]\nwhat = "all"\nbudget_mb = 200\n', "utf-8")
    budget = read_budgets(path)["memory"]
    line = table([Row("memory", budget, measure(Timed(work=lambda: 150.0, reads=True)))]).splitlines()[1]
    assert line.split() == ["memory", "150.00", "MB", "200.00", "MB", "0.75", "kept"]


def test_the_table_shows_the_speed_up() -> None:
    headings, line = table([row(0.05, 0.6)]).splitlines()
    assert headings.split()[:2] == ["benchmark", "measured"]
    assert line.split() == [
        "plan",
        "50.00",
        "ms",
        "100.00",
        "ms",
        "0.50",
        "600.00",
        "ms",
        "12.0",
        "x",
        "kept",
    ]


def test_budgets_are_read(tmp_path: Path) -> None:
    path = tmp_path / "budgets.toml"
    path.write_text('[plan]\nwhat = "a plan"\nbudget_ms = 100\n', "utf-8")
    assert read_budgets(path) == {"plan": Budget("a plan", 0.1)}


@pytest.mark.parametrize(
    "text",
    [
        '[plan]\nwhat = "a plan"\n',
        '[plan]\nwhat = "a plan"\nbudget_ms = 0\n',
        '[plan]\nwhat = "a plan"\nbudget_ms = "soon"\n',
        '[plan]\nwhat = "a plan"\nbudget_ms = 1\nbudget_s = 1\n',
        "plan = 1\n",
    ],
)
def test_a_budget_that_says_too_little_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "budgets.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(BudgetError, match="budget plan"):
        read_budgets(path)


def test_names_must_match_both_ways() -> None:
    budgets = {"plan": Budget("a plan", 0.1), "help": Budget("help", 0.1)}
    match_names(budgets, ["help", "plan"])
    with pytest.raises(BudgetError) as refusal:
        match_names(budgets, ["plan", "plan", "curve"])
    assert str(refusal.value) == (
        "benchmark curve has no budget; budget help has no benchmark; benchmark plan is there more than once"
    )


def test_the_budgets_we_have_match_the_benchmarks_we_have() -> None:
    match_names(read_budgets(FOLDER / "budgets.toml"), [each.name for each in find_benchmarks()])
