"""Run every benchmark and compare it with its budget: `python -m benchmarks.run`, or `make benchmark`."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

from benchmarks.report import BudgetError, Row, match_names, read_budgets, table
from benchmarks.timing import Benchmark, Disagreement, Measured, measure

FOLDER = Path(__file__).parent


def find_benchmarks(folder: Path = FOLDER) -> list[Benchmark]:
    """Every benchmark in the folder's `bench_*.py`, in the order in which they are written."""
    modules = (import_module(f"benchmarks.{path.stem}") for path in sorted(folder.glob("bench_*.py")))
    return [found for module in modules for found in vars(module).values() if isinstance(found, Benchmark)]


def measure_all(benchmarks: list[Benchmark]) -> Iterator[tuple[str, Measured]]:
    """Measure one after the other, saying on standard error which is running."""
    for each in benchmarks:
        print(f"measuring {each.name} ...", file=sys.stderr)
        try:
            yield each.name, measure(each.prepare())
        except Disagreement as error:
            raise Disagreement(f"{each.name}: {error}") from error


def main() -> int:
    """Print the report; 1 if a benchmark fails or the budgets do not match the benchmarks."""
    benchmarks = find_benchmarks()
    try:
        budgets = read_budgets(FOLDER / "budgets.toml")
        match_names(budgets, [each.name for each in benchmarks])
        rows = [Row(name, budgets[name], measured) for name, measured in measure_all(benchmarks)]
    except (BudgetError, Disagreement) as error:
        print(f"benchmarks: {error}", file=sys.stderr)
        return 1
    print(table(rows))
    return int(any(row.verdict == "FAILS" for row in rows))


if __name__ == "__main__":
    sys.exit(main())
