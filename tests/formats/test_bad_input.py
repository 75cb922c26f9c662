"""Every kind of bad file gets one clear message: file and line, field, rule, value, and what to do."""

from __future__ import annotations

import pathlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.errors import InputError, InputErrors, MissingValue, OutOfRange, UnknownKey, UnreadableFile, WrongUnit
from sagwright.formats.intake.load import load_intake
from sagwright.formats.sheet.load import load_sheet
from sagwright.formats.source.reader import MOST_DEPTH, read_text
from sagwright.formats.source.tree import SourceFile
from tests.support.written import EXAMPLES, GOOD, THIN, tree_or_fault


def intake_fault(tmp_path: pathlib.Path, written: str, instead: str) -> InputError:
    """The one fault of the good example with something else written in it."""
    assert written in GOOD
    return fault_of(tmp_path, GOOD.replace(written, instead), load_intake)


def sheet_fault(tmp_path: pathlib.Path, text: str) -> InputError:
    return fault_of(tmp_path, text, load_sheet)


def fault_of(tmp_path: pathlib.Path, text: str | bytes, load: object) -> InputError:
    path = tmp_path / "bad.yaml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(InputError) as caught:
        load(path)  # type: ignore[operator]
    assert caught.value.file == str(path)
    assert caught.value.remedy
    return caught.value


def all_faults(tmp_path: pathlib.Path, text: str) -> tuple[InputError, ...]:
    path = tmp_path / "bad.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputErrors) as caught:
        load_sheet(path)
    return caught.value.errors


def test_the_good_ones_are_good(tmp_path: pathlib.Path) -> None:
    for path in sorted(EXAMPLES.glob("*.yaml")):
        assert load_intake(path).sheet.items
    thin = tmp_path / "thin.yaml"
    thin.write_text(THIN, "utf-8")
    assert load_sheet(thin).model == "Thin"


def test_an_unknown_key_is_met_with_what_may_be_meant(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "  travel: 150 ± 2 mm\n", "  travel: 150 ± 2 mm\n  travl_spacers: 0\n")
    assert isinstance(fault, UnknownKey)
    assert (fault.line, fault.field) == (8, "as_found.travl_spacers")
    assert "Did you mean travel_spacers?" in fault.remedy


def test_a_key_written_twice_is_refused_and_the_first_line_named(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "name: 2026-0113\n", "name: 2026-0113\nname: 2026-0114\n")
    assert (fault.line, fault.field) == (4, "name")
    assert "first on line 3" in fault.remedy


def test_a_pressure_is_no_bore(tmp_path: pathlib.Path) -> None:
    fault = sheet_fault(tmp_path, THIN + "spring:\n  bore: 31.8 psi\n")
    assert isinstance(fault, WrongUnit)
    assert (fault.line, fault.field, fault.value) == (9, "spring.bore", "31.8 psi")
    assert fault.rule == "must be a length, like 31.8 mm"
    assert "psi is a unit of pressure" in fault.remedy


def test_a_number_without_a_unit_is_refused(tmp_path: pathlib.Path) -> None:
    fault = sheet_fault(tmp_path, THIN + "spring: {bore: 31.8}\n")
    assert isinstance(fault, WrongUnit)
    assert "unit" in fault.remedy


def test_a_missing_value_says_where_to_write_it(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "wish: {travel: 140 mm, aim: as-it-rode}", "wish: {aim: as-it-rode}")
    assert isinstance(fault, MissingValue)
    assert (fault.line, fault.field) == (13, "wish.travel")
    assert "under wish" in fault.remedy


def test_a_key_with_nothing_after_it_is_a_missing_value(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "name: 2026-0113\n", "name:\n")
    assert isinstance(fault, MissingValue)
    assert fault.line == 3


def test_a_negative_length_is_refused(tmp_path: pathlib.Path) -> None:
    fault = sheet_fault(tmp_path, THIN + "spring: {bore: -31.8 mm}\n")
    assert isinstance(fault, OutOfRange)
    assert (fault.field, fault.value) == ("spring.bore", "-31.8 mm")


@pytest.mark.parametrize("text", ["nan mm", "inf mm", "1e400 mm", "mm", "31.8 furlong", "31.8 mm mm"])
def test_what_is_no_length_is_refused(tmp_path: pathlib.Path, text: str) -> None:
    assert sheet_fault(tmp_path, THIN + f"spring: {{bore: {text}}}\n").field == "spring.bore"


def test_a_sheet_that_is_not_there_is_met_with_what_may_be_meant(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "specimen/t35", "specimen/t36")
    assert (fault.line, fault.field, fault.value) == (4, "sheet", "specimen/t36")
    assert "Did you mean specimen/t35?" in fault.remedy


def test_a_rider_of_nothing_is_refused(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "80 ± 1 kg", "0 kg")
    assert isinstance(fault, OutOfRange)
    assert (fault.line, fault.field, fault.value) == (12, "rider.mass", "0 kg")


def test_an_unknown_chassis_lists_those_there_are(tmp_path: pathlib.Path) -> None:
    fault = intake_fault(tmp_path, "chassis: mid", "chassis: middle")
    assert fault.field == "unit.chassis"
    assert "short, mid, long" in fault.remedy


def test_a_decimal_comma_is_refused_with_the_number_meant(tmp_path: pathlib.Path) -> None:
    assert "150.5" in intake_fault(tmp_path, "150 ± 2 mm", "150,5 mm").remedy


def test_every_fault_of_a_sheet_is_told_at_once_in_order(tmp_path: pathlib.Path) -> None:
    text = THIN + "spring:\n  bore: 31.8 psi\n  shaft: -10 mm\n  shafft: 10 mm\nfriction: {sliding: 2 mm}\n"
    faults = all_faults(tmp_path, text)
    assert [(fault.line, fault.field) for fault in faults] == [
        (9, "spring.bore"),
        (10, "spring.shaft"),
        (11, "spring.shafft"),
        (12, "friction.sliding"),
    ]


def test_aliases_and_anchors_are_refused(tmp_path: pathlib.Path) -> None:
    fault = sheet_fault(tmp_path, "shape: &a sheet/1\nmaker: *a\n")
    assert isinstance(fault, UnreadableFile)
    assert fault.line == 1
    assert "& and *" in fault.rule


def test_a_bomb_of_aliases_is_refused_at_its_first_anchor(tmp_path: pathlib.Path) -> None:
    lines = ["a0: &a0 [x, x]"] + [f"a{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 9)}]" for k in range(1, 12)]
    assert sheet_fault(tmp_path, "\n".join(lines)).line == 1


def test_tags_are_refused(tmp_path: pathlib.Path) -> None:
    fault = sheet_fault(tmp_path, "shape: !!python/object/apply:os.system [echo]\n")
    assert "! tags" in fault.rule


def test_depth_is_limited(tmp_path: pathlib.Path) -> None:
    deep = "shape: " + "[" * (MOST_DEPTH + 5) + "]" * (MOST_DEPTH + 5) + "\n"
    assert f"deeper than {MOST_DEPTH}" in sheet_fault(tmp_path, deep).rule


def test_a_file_of_50_mb_is_refused_unread(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(UnreadableFile, match="must not be larger than 1 MB") as caught:
        load_sheet(path)
    assert caught.value.value == "50.0 MB"


def test_bytes_that_are_not_utf_8_are_refused(tmp_path: pathlib.Path) -> None:
    fault = fault_of(tmp_path, b"shape: sheet/1\nmaker: Sp\xe9cimen\n", load_sheet)
    assert (fault.line, fault.rule) == (2, "must be UTF-8 text")


def test_a_folder_is_refused(tmp_path: pathlib.Path) -> None:
    with pytest.raises(UnreadableFile, match="must be a file, not a folder"):
        load_intake(tmp_path)


def test_nothing_of_that_name_is_refused(tmp_path: pathlib.Path) -> None:
    with pytest.raises(UnreadableFile, match="must be given"):
        load_intake(tmp_path / "none.yaml")


@pytest.mark.parametrize("text", ["", "# only a remark\n", "--- \n", "[1, 2]\n", "just words\n"])
def test_a_file_without_keys_is_refused(tmp_path: pathlib.Path, text: str) -> None:
    assert isinstance(sheet_fault(tmp_path, text), UnreadableFile)


def test_a_second_document_is_refused(tmp_path: pathlib.Path) -> None:
    assert "one document" in sheet_fault(tmp_path, THIN + "---\nshape: sheet/1\n").rule


def test_yes_no_and_minutes_are_text_not_booleans_or_sexagesimals() -> None:
    root = read_text("a: no\nb: 1:30\nc: 0o17\nd: ~\n", SourceFile("x"))
    assert dict(root) == {"a": "no", "b": "1:30", "c": "0o17", "d": "~"}


@pytest.mark.law
@given(st.text(max_size=300))
def test_any_text_is_a_tree_or_an_input_error(text: str) -> None:
    tree_or_fault(text)


@pytest.mark.law
@given(st.lists(st.sampled_from([*"{}[]:,-#&*!|>'\"% \n\t?abc=~", "a: ", "- ", "\n  "]), max_size=60))
def test_any_punctuation_is_a_tree_or_an_input_error(pieces: list[str]) -> None:
    tree_or_fault("".join(pieces))


def test_a_sheet_is_no_intake_and_says_so_in_one_sentence(tmp_path: pathlib.Path) -> None:
    fault = fault_of(tmp_path, THIN, load_intake)
    assert (fault.line, fault.field, fault.rule) == (1, "shape", "must be intake/1")
    assert "another kind of file" in fault.remedy
    assert "must be sheet/1" in fault_of(tmp_path, GOOD, load_sheet).rule
