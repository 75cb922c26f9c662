"""Budgets, and what was measured held against them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from benchmarks.timing import Measured

FAILS_ABOVE = 1.5
HEADINGS = ("benchmark", "measured", "budget", "of budget", "baseline", "speed-up", "")


class BudgetError(Exception):
    """The file of budgets cannot be used, or does not match the benchmarks."""


@dataclass(frozen=True)
class Budget:
    """How long a benchmark may take, and what it measures in words."""

    what: str
    seconds: float


@dataclass(frozen=True)
class Row:
    """One benchmark's line in the report."""

    name: str
    budget: Budget
    measured: Measured

    @property
    def ratio(self) -> float:
        """Measured time over budget."""
        return self.measured.seconds / self.budget.seconds

    @property
    def verdict(self) -> str:
        """Whether the budget is kept; it fails only well above, since machines differ."""
        if self.ratio > FAILS_ABOVE:
            return "FAILS"
        return "over" if self.ratio > 1 else "kept"


def read_budgets(path: Path) -> dict[str, Budget]:
    """Every budget of a TOML file: one table each, with `what` and `budget_ms`.

    Raises
    ------
    BudgetError
        If a table has other keys, or a budget is not a number above zero.
    """
    tables = tomllib.loads(path.read_text("utf-8"))
    return {name: _budget(name, table) for name, table in tables.items()}


def _budget(name: str, table: object) -> Budget:
    match table:
        case {"what": str(what), "budget_ms": float() | int() as budget_ms, **others} if not others:
            if budget_ms > 0:
                return Budget(what, budget_ms / 1000)
    raise BudgetError(f"budget {name}: needs `what`, a text, and `budget_ms`, a number above 0, and nothing else")


def match_names(budgets: Mapping[str, Budget], names: Iterable[str]) -> None:
    """Refuse a benchmark without a budget, a budget without a benchmark, and a name used twice.

    Raises
    ------
    BudgetError
        Naming every one of them.
    """
    listed = list(names)
    faults = [f"benchmark {name} has no budget" for name in listed if name not in budgets]
    faults += [f"budget {name} has no benchmark" for name in budgets if name not in listed]
    faults += [f"benchmark {name} is there more than once" for name in sorted({*listed}) if listed.count(name) > 1]
    if faults:
        raise BudgetError("; ".join(faults))


def table(rows: Iterable[Row]) -> str:
    """The report as aligned columns of text."""
    lines = [HEADINGS, *(_cells(row) for row in rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(_aligned(line, widths) for line in lines)


def _aligned(cells: tuple[str, ...], widths: list[int]) -> str:
    name, *numbers = cells
    padded = [f"{cell:>{width}}" for cell, width in zip(numbers, widths[1:], strict=True)]
    return "  ".join([f"{name:<{widths[0]}}", *padded]).rstrip()


def _cells(row: Row) -> tuple[str, ...]:
    baseline = row.measured.baseline_seconds
    return (
        row.name,
        _milliseconds(row.measured.seconds),
        _milliseconds(row.budget.seconds),
        f"{row.ratio:.2f}",
        "" if baseline is None else _milliseconds(baseline),
        "" if baseline is None else f"{baseline / row.measured.seconds:.1f} x",
        row.verdict,
    )


def _milliseconds(seconds: float) -> str:
    return f"{1000 * seconds:.2f} ms"
