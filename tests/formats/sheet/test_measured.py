"""Thin sheets: what was measured, on a base sheet that says the rest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.value import Origin
from sagwright.formats.sheet.load import load_sheet
from sagwright.formats.sheet.measured import WrittenValues, key_for, thin_sheet, typical_of
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import SourceFile

WRITTEN: dict[str, WrittenValues] = {
    "maker": "Specimen",
    "model": "Q36",
    "chassis.standard.longest": "150 mm",
    "chassis.standard.travels": ["120 mm", "150 mm"],
    "spring.bore": "31.8 ± 0.05 mm",
    "spring.shaft": "",
}


def test_what_is_written_is_measured_and_the_rest_typical() -> None:
    text = thin_sheet("air-fork/spacer-stack", WRITTEN)
    sheet = load_sheet("specimen/q36", files=False, texts={"specimen/q36": text})
    assert (sheet.maker, sheet.model, sheet.revision) == ("Specimen", "Q36", 1)
    assert sheet.base == "air-fork/spacer-stack"
    assert sheet.spring.bore.origin is Origin.MEASURED
    assert sheet.spring.bore.si == pytest.approx(0.0318)
    assert sheet.spring.shaft.origin is Origin.TYPICAL
    assert sheet.chassis[0].travels == pytest.approx((0.120, 0.150))


@pytest.mark.law
@given(text=st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=40))
def test_whatever_is_typed_comes_back_as_it_is(text: str) -> None:
    tree = read_text(thin_sheet("air-fork/fixed", {"maker": text, "model": text, "a.b": [text, text]}), SourceFile("x"))
    assert (tree["maker"], tree["model"]) == (text, text)
    assert tree["a"] == {"b": [text, text]}
    assert tree["origin"] == "measured"


@pytest.mark.parametrize(
    ("maker", "model", "key"),
    [("Specimen", "T35", "specimen/t35"), ("A & B", "One/Two 3", "a-b/one-two-3"), ("!", "x", ""), ("", "", "")],
)
def test_a_key_is_made_of_what_it_describes(maker: str, model: str, key: str) -> None:
    assert key_for(maker, model) == key


def test_what_is_typical_is_said_as_it_is_written() -> None:
    assert typical_of("air-fork/spacer-stack", "spring.bore") == "32 ± 1 mm"
    assert typical_of("air-fork/spacer-stack", "chassis.standard.longest") == ""
