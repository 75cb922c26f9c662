"""What a benchmark is, and how long its work takes."""

from __future__ import annotations

import math
import operator
import statistics
import subprocess
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")

ENOUGH_SECONDS = 0.5
FEWEST_RUNS = 5
MOST_RUNS = 200


class Disagreement(Exception):
    """The work and its baseline gave different answers, so their times say nothing."""


@dataclass(frozen=True, kw_only=True)
class Timed(Generic[T]):
    """Work that is ready to be measured, everything it needs made beforehand.

    `baseline` is another way to the same answer; `agree` says whether two answers are the same. `runs` is how
    often to run the work; None means until the median has settled enough. `above` holds only what the work takes more
    than its baseline against the budget; `reads` says that the work's answer is what is measured, in MB. `share` is
    the share of the runs that are within what is measured: 0.5 is the median.
    """

    work: Callable[[], T]
    baseline: Callable[[], T] | None = None
    agree: Callable[[T, T], bool] = operator.eq
    runs: int | None = None
    above: bool = False
    reads: bool = False
    share: float = 0.5


@dataclass(frozen=True)
class Benchmark:
    """A name that has a budget, and the function that prepares what is measured under it."""

    name: str
    prepare: Callable[[], Timed[object]]


@dataclass(frozen=True)
class Measured:
    """Seconds of the work and, if there is one, of its baseline; for what is read in MB, GB in their place."""

    seconds: float
    baseline_seconds: float | None
    above: bool = False

    @property
    def counted(self) -> float:
        """What is held against the budget."""
        return self.seconds - (self.baseline_seconds or 0.0) if self.above else self.seconds


def benchmark(name: str) -> Callable[[Callable[[], Timed[T]]], Benchmark]:
    """Mark a function that prepares a benchmark; `name` is its key in budgets.toml."""

    def mark(prepare: Callable[[], Timed[T]]) -> Benchmark:
        return Benchmark(name, prepare)  # type: ignore[arg-type]  # the harness never looks into an answer

    return mark


def process(*command: str, runs: int = 10) -> Timed[int]:
    """Whole processes from start to end, each of which must exit with 0."""

    def run() -> int:
        return subprocess.run(command, check=True, stdout=subprocess.DEVNULL).returncode

    return Timed(work=run, runs=runs)


def measure(timed: Timed[T], *, clock: Callable[[], float] = time.perf_counter) -> Measured:
    """Compare the work with its baseline, then time both.

    Raises
    ------
    Disagreement
        If the two answers are not the same.
    """
    answer = timed.work()
    if timed.reads:
        return Measured(float(str(answer)) / 1000, None)
    if timed.baseline is None:
        return Measured(seconds_of(timed.work, timed.runs, clock=clock, share=timed.share), None)
    if not timed.agree(answer, timed.baseline()):
        raise Disagreement("the work and its baseline do not give the same answer")
    return Measured(
        seconds_of(timed.work, timed.runs, clock=clock, share=timed.share),
        seconds_of(timed.baseline, timed.runs, clock=clock, share=timed.share),
        timed.above,
    )


def seconds_of(
    work: Callable[[], object], runs: int | None, *, clock: Callable[[], float] = time.perf_counter, share: float = 0.5
) -> float:
    """What a share of the runs is within, in the seconds of `clock`: the next run above it where it falls between."""
    times = sorted(_run_times(work, runs, clock))
    return statistics.median(times) if share == 0.5 else times[math.ceil(share * len(times)) - 1]


def _run_times(work: Callable[[], object], runs: int | None, clock: Callable[[], float]) -> Iterator[float]:
    total = 0.0
    done = 0
    while done < runs if runs is not None else _needs_more(done, total):
        start = clock()
        work()
        taken = clock() - start
        yield taken
        total += taken
        done += 1


def _needs_more(done: int, total: float) -> bool:
    return done < FEWEST_RUNS or (total < ENOUGH_SECONDS and done < MOST_RUNS)
