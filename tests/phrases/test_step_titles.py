"""Titles of steps: a verb that fits the thing. Trade usage: common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from sagwright.domain.item import Act, ChargeStage
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Value
from sagwright.formats.demo import demo_sheets
from sagwright.formats.sheet.load import load_sheet
from sagwright.phrases.steps import title

WRONG = (
    (
        r"(Take off|Fit) the .*\b(oil|grease|bolts?)\b(?! seal)(?=$| of| in|,)",
        "nobody fits a fluid",
    ),
    (r"Take off the (damper|axle|coil|air shaft|front wheel|fork)\b(?! cap)", "it comes out of something"),
    (r"Fill in|Prove the [a-z -]*ring$|Change the transfer port", "not what anyone says"),
)


def titles(sheet: Sheet) -> Iterator[str]:
    """Of everything that can be done to a unit."""
    for item in sheet.items:
        for act, work in item.works:
            for stage in ChargeStage if act is Act.CHARGE else (None,):
                step = Step(f"{act}:{item.key}", act, item.key, item.name, work.do, "", work.minutes, stage=stage)
                yield title(step, sheet)


@pytest.mark.parametrize("name", demo_sheets())
def test_no_title_of_a_demo_sheet_has_a_verb_that_does_not_fit(name: str) -> None:
    said = set(titles(load_sheet(name)))
    assert len(said) > 20
    for pattern, why in WRONG:
        assert [one for one in sorted(said) if re.match(pattern, one)] == [], why


@pytest.mark.parametrize(
    ("name", "off", "on"),
    [
        ("oil of the open bath", "Drain the oil of the open bath", "Pour in the oil of the open bath"),
        ("pinch bolts of the axle", "Loosen the pinch bolts of the axle", "Tighten the pinch bolts of the axle"),
        ("fork in its frame", "Take the fork out of its frame", "Put the fork in its frame"),
        ("grease in the leg", "Wipe the old grease out of the leg", "Grease the leg anew"),
        ("spring grease", "Wipe off the old spring grease", "Put on new spring grease"),
        ("crown bolt", "Undo the crown bolt", "Fit and tighten the crown bolt"),
        ("damper", "Take out the damper", "Fit the damper"),
        ("damper cap", "Take off the damper cap", "Fit the damper cap"),
        ("oil seal", "Take out the oil seal", "Fit the oil seal"),
    ],
)
def test_the_verb_follows_from_the_kind_of_thing_whatever_the_sheet(name: str, off: str, on: str) -> None:
    sheet = load_sheet("specimen/t35")
    plain = next(item for item in sheet.items if item.role is None)
    _, work = plain.works[0]
    for act, said in ((Act.OFF, off), (Act.ON, on)):
        assert title(Step(f"{act}:{plain.key}", act, plain.key, name, "", "", work.minutes), sheet) == said


@pytest.mark.parametrize(
    ("key", "act", "said"),
    [
        ("off:lowers", Act.OFF, False),
        ("off:lowers:2", Act.OFF, True),
        ("inspect:lowers:3", Act.INSPECT, True),
        ("break:2", Act.BREAK, False),
    ],
)
def test_a_step_done_a_second_time_says_so(key: str, act: Act, *, said: bool) -> None:
    sheet = load_sheet("specimen/t35")
    item = sheet.item("lowers")
    step = Step(key, act, item.key, item.name, "", "", Value(60.0))
    assert title(step, sheet).endswith(" (again)") is said
