"""Holds what the tests cover to its floor in pyproject.toml, and says when the floor can rise."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

PYPROJECT = Path(__file__).parents[1] / "pyproject.toml"


def verdict(measured: float, floor: int) -> tuple[bool, str]:
    """Whether a coverage [per cent of lines and branches] is enough, and what to do."""
    if measured < floor:
        return False, f"The tests cover {measured:.1f} %, and the floor is {floor} %: test what is new."
    if measured >= floor + 1:
        return True, f"The tests cover {measured:.1f} %: raise fail_under in pyproject.toml to {int(measured)}."
    return True, f"The tests cover {measured:.1f} %, and the floor is {floor} %."


def main() -> int:
    """Show what is not covered, and hold the whole to the floor."""
    report = [sys.executable, "-m", "coverage", "report", "--fail-under=0"]
    subprocess.run(report, check=True)
    total = subprocess.run([*report, "--format=total"], check=True, capture_output=True, text=True).stdout
    floor = tomllib.loads(PYPROJECT.read_text("utf-8"))["tool"]["coverage"]["report"]["fail_under"]
    enough, sentence = verdict(float(total), floor)
    print(sentence)
    return 0 if enough else 1


if __name__ == "__main__":
    sys.exit(main())
