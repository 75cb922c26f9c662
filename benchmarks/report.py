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
    """How long a benchmark may take, and what it measures in words; GB in the place of seconds where the unit is MB."""

    what: str
    seconds: float
    unit: str = "ms"


@dataclass(frozen=True)
class Row:
    """One benchmark's line in the report."""

    name: str
    budget: Budget
    measured: Measured

    @property
    def ratio(self) -> float:
        """What was measured over its budget."""
        return self.measured.counted / self.budget.seconds

    @property
    def verdict(self) -> str:
        """Whether the budget is kept; it fails only well above, since machines differ."""
        if self.ratio > FAILS_ABOVE:
            return "FAILS"
        return "over" if self.ratio > 1 else "kept"


def read_budgets(path: Path) -> dict[str, Budget]:
    """Every budget of a TOML file: one table each, with `what` and `budget_ms` or `budget_mb`.

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
        case {"what": str(what), "budget_mb": float() | int() as budget_mb, **others} if not others:
            if budget_mb > 0:
                return Budget(what, budget_mb / 1000, "MB")
    needs = "needs `what`, a text, and `budget_ms` or `budget_mb`, a number above 0, and nothing else"
    raise BudgetError(f"budget {name}: {needs}")


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
        _thousandths(row.measured.seconds, row.budget.unit),
        _thousandths(row.budget.seconds, row.budget.unit),
        f"{row.ratio:.2f}",
        "" if baseline is None else _thousandths(baseline, row.budget.unit),
        "" if baseline is None else f"{baseline / row.measured.seconds:.1f} x",
        row.verdict,
    )


def _thousandths(amount: float, unit: str) -> str:
    return f"{1000 * amount:.2f} {unit}"
