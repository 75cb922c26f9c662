"""Runs the command line, in this process or as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from sagwright.cli.main import run

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = ROOT / "examples"
SHORTEN = EXAMPLES / "shorten-t35.yaml"
REFUSED = EXAMPLES / "refused-t35.yaml"


@dataclass(frozen=True)
class Answer:
    """What a command line answered."""

    code: int
    out: str
    err: str


class Shell:
    """The command line in this process."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, *arguments: str | Path) -> Answer:
        code = run([str(argument) for argument in arguments])
        out, err = self.capsys.readouterr()
        return Answer(code, out, err)


def process(*arguments: str | Path, env: Mapping[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    """The command line as a process of its own, with some of the environment set otherwise."""
    command = [sys.executable, "-m", "sagwright", *map(str, arguments)]
    return subprocess.run(command, check=False, capture_output=True, env={**os.environ, **(env or {})})


def edited(old: str, new: str, *, to: Path) -> Path:
    """The demo intake with one thing written otherwise."""
    text = SHORTEN.read_text("utf-8")
    assert old in text
    to.write_text(text.replace(old, new, 1), "utf-8")
    return to
