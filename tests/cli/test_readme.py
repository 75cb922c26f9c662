"""The README shows what the program says."""

from __future__ import annotations

import doctest
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

import sagwright
from tests.support.command_line import ROOT, SHORTEN, Shell

README = (ROOT / "README.md").read_text("utf-8")
FENCED = re.findall(r"^```(\w*)\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
COMMANDS = re.findall(r"^sagwright (.+?)(?: > \S+)?(?: +#.*)?$", README, re.MULTILINE)


def test_it_is_short() -> None:
    assert len(README.splitlines()) <= 150


def test_what_it_shows_of_a_plan_is_what_the_plan_says(shell: Shell) -> None:
    said = shell("plan", SHORTEN).out
    plain = [block for language, block in FENCED if not language]
    excerpts = [block for block in plain if not block.startswith(("make", "sagwright"))]
    assert len(excerpts) == 2
    assert all(excerpt in said for excerpt in excerpts)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_it_names_works(shell: Shell, monkeypatch: pytest.MonkeyPatch, command: str) -> None:
    monkeypatch.chdir(ROOT)
    answer = shell(*shlex.split(command))
    assert (answer.code, answer.err) == (1 if "refused" in command else 0, "")
    assert answer.out


def test_the_python_it_shows_runs() -> None:
    (code,) = (block for language, block in FENCED if language == "python")
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True, cwd=ROOT)
    assert (done.returncode, done.stderr) == (0, "")
    assert '"shape": "plan/1"' in done.stdout


def test_so_does_the_example_of_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testmod(sagwright)
    assert not failed
    assert tried >= 4


def test_the_intake_it_shows_can_be_planned(shell: Shell, tmp_path: Path) -> None:
    (intake,) = (block for language, block in FENCED if language == "yaml")
    path = tmp_path / "intake.yaml"
    path.write_text(intake, "utf-8")
    assert shell("plan", path).code == 0
