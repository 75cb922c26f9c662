"""The README shows what the program says; the examples of the documentation are run by tests/docs."""

from __future__ import annotations

import doctest
import re
import shlex

import pytest

import sagwright
from tests.support.command_line import ROOT, SHORTEN, Shell

README = (ROOT / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"^```\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
COMMANDS = re.findall(r"^(?:\.venv/bin/)?(make|sagwright) (.+?) *(?:#.*)?$", BLOCKS[0], re.MULTILINE)
LINKED = re.findall(r"\]\(([^)#:]+)\)", README)


def test_it_is_one_page_with_six_commands() -> None:
    assert len(README.splitlines()) <= 80
    assert len(COMMANDS) == 6


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    title, paragraph, then = README.split("\n\n")[:3]
    assert title == "# Sagwright"
    assert paragraph.startswith("Sagwright is for ")
    assert then.startswith("## ")


def test_what_it_shows_of_a_plan_is_what_the_plan_says(shell: Shell) -> None:
    _, excerpt = BLOCKS
    assert excerpt in shell("plan", SHORTEN).out


@pytest.mark.parametrize("command", [line for program, line in COMMANDS if program == "sagwright" and line != "serve"])
def test_every_command_it_names_works(shell: Shell, monkeypatch: pytest.MonkeyPatch, command: str) -> None:
    monkeypatch.chdir(ROOT)
    answer = shell(*shlex.split(command))
    assert (answer.code, answer.err) == (0, "")
    assert answer.out


@pytest.mark.parametrize("target", [line for program, line in COMMANDS if program == "make"])
def test_every_target_it_names_is_there(target: str) -> None:
    assert re.search(rf"^{target}:", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE)


@pytest.mark.parametrize("path", LINKED)
def test_every_file_it_links_to_is_there(path: str) -> None:
    assert (ROOT / path).is_file()


def test_the_example_of_the_package_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testmod(sagwright)
    assert not failed
    assert tried >= 4
