"""Files made to cost time or to slip past: answered quickly, with one of our errors."""

from __future__ import annotations

import os
import pathlib
import time

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from sagwright.errors import InputError, InputErrors, UnreadableFile
from sagwright.formats.faults import MOST_REPORTED
from sagwright.formats.intake.load import load_intake, load_intake_text
from sagwright.formats.source import reader
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import SourceFile
from tests.support.written import GOOD, tree_or_fault

LINES = 20_000
QUICK = 10.0  # s of this process's own time; without a bound on what is told one of these takes many minutes


@pytest.mark.parametrize("line", ["k{}: 1\n", "k{}:\n", "same: {}\n"])
def test_a_file_full_of_faults_is_answered_quickly_and_briefly(tmp_path: pathlib.Path, line: str) -> None:
    path = tmp_path / "many.yaml"
    path.write_text("".join(line.format(number) for number in range(LINES)), "utf-8")
    begun = time.process_time()
    with pytest.raises(InputErrors) as caught:
        load_intake(path)
    assert time.process_time() - begun < QUICK
    errors = caught.value.errors
    assert len(errors) == MOST_REPORTED + 1
    assert errors[-1].rule == "has more faults than are told"
    assert [error.line for error in errors] == sorted(error.line or 0 for error in errors)


def test_a_hundred_faults_are_all_told(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "hundred.yaml"
    path.write_text(GOOD + "".join(f"k{number}: 1\n" for number in range(MOST_REPORTED)), "utf-8")
    with pytest.raises(InputErrors) as caught:
        load_intake(path)
    assert len(caught.value.errors) == MOST_REPORTED


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no pipes with names")
def test_a_pipe_is_not_waited_for(tmp_path: pathlib.Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(UnreadableFile, match="must be an ordinary file"):
        load_intake(tmp_path / "pipe")


@pytest.mark.parametrize("name", ["a\0b", "a" * 5000])
def test_a_path_that_cannot_be_is_refused(name: str) -> None:
    with pytest.raises(UnreadableFile):
        load_intake(name)


@pytest.mark.parametrize("name", ["/etc/hostname", "../one.yaml", "specimen/../specimen/t35", ".", "Specimen/T35"])
def test_an_intake_from_a_stranger_reaches_shipped_sheets_only(name: str) -> None:
    with pytest.raises(UnreadableFile, match="must name a sheet that is there"):
        load_intake_text(GOOD.replace("specimen/t35", name), "posted")
    assert load_intake_text(GOOD, "posted").sheet.name == "specimen/t35"


# The parser in C is used where it is there; where it is not, the one in Python must refuse the same.


@pytest.fixture(params=["CSafeLoader", "SafeLoader"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if not hasattr(yaml, request.param):
        pytest.skip("this PyYAML has no parser in C")
    monkeypatch.setattr(reader, "_LOADER", getattr(yaml, request.param))
    return str(request.param)


def test_both_parsers_read_the_same(parser: str) -> None:
    root = read_text(GOOD, SourceFile(parser))
    assert root["name"] == "2026-0113"
    assert (root["wish"].line, root["sheet"].line) == (13, 4)


@pytest.mark.parametrize(
    "text",
    ['a: "\\UFFFFFFFF"', 'a: "\\U00110000"', 'a: "\\ud800"', '"\\udfff": a', "a: \x07", "%YAML 99.9\n---\na: 1"],
)
def test_both_parsers_refuse_what_is_no_text(parser: str, text: str) -> None:
    with pytest.raises(UnreadableFile) as caught:
        read_text(text, SourceFile(parser))
    assert str(caught.value).encode("utf-8")


@pytest.mark.parametrize("text", ["a: " + "[" * 3000, "a: " + "{b: " * 3000, "- " * 3000, "? " * 3000])
def test_both_parsers_stop_at_depth(parser: str, text: str) -> None:
    with pytest.raises(InputError):
        read_text(text, SourceFile(parser))


PIECES = [*"{}[]:,-#&*!|>'\"% \n\t?a=~\\", "a: ", "- ", "\n  ", "\\U", "\\u", "\\x", "d800", "FFFF"]


@pytest.mark.law
@given(st.lists(st.sampled_from(PIECES), max_size=60))
def test_the_parser_in_python_gives_a_tree_or_an_input_error(pieces: list[str]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "_LOADER", yaml.SafeLoader)
        tree_or_fault("".join(pieces))
