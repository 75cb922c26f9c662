"""Workshops that take seconds to fill: filled once in a run of the tests, and copied for everybody else."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.support.machine import one_at_a_time


def filled_once(shared: Path, name: str, fill: Callable[[Path], object]) -> Path:
    """The file of a workshop, filled by the process that asks first; nothing may write to it."""
    path = shared / f"{name}.sqlite"
    with one_at_a_time(f"fill-{name}"):
        if not path.exists():
            begun = path.with_suffix(".begun")
            fill(begun)
            begun.rename(path)
    return path
