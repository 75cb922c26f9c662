"""Corrections: every kind of entry that has something to put right, filled with what it says, checked as at first."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape

import pytest
from starlette.testclient import TestClient

from sagwright.domain.item import Record
from sagwright.domain.records.payloads import (
    Answered,
    CheckedIn,
    Condition,
    DueDateSet,
    FinalChecked,
    HandedOver,
    IntakeUpdated,
    Noted,
    PassedOn,
    Payload,
    Prepared,
    ProblemFound,
    PutOnHold,
    Reading,
    Resumed,
    StepDone,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import InputErrors
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop
from sagwright.units import UnitChoice
from sagwright.web.http.form import Form
from sagwright.web.jobs.correction import FIELDS, Filled, boxes_of, corrected
from tests.support.web.one_job import JOB, hidden_of

BAR = UnitChoice(pressure="bar", decimal=",")
FACTS = (("as_found.charge.pressure", "78 ± 2 psi"), ("as_found.travel", "150 mm"), ("wish.travel", "140 mm"))
LEFT = Reading(
    "pressure_after", "Pressure as left.", "78 psi", Quantity.PRESSURE, 537_792.0, 3_000.0,
    predicted=Measured(540_000.0, 5_000.0), within_limits=True,
)  # fmt: skip
EMPTY = Reading("pressure_zero", "Gauge at zero.", "0 psi", Quantity.PRESSURE, 0.0, within_limits=True)
LOOK = Reading("worn", "Coating whole.", "good", within_limits=True)
COATING = Condition("Coating", "no wear")
PLAY = Condition("Play", "0.25 mm", within=False, photos=("p1", "p2"))
RUST = Condition("rust")
ENTRIES: tuple[Payload, ...] = (
    CheckedIn("o", "u", "v", "s", FACTS, symptoms="Dives.", tasks=("wipers",), due="2026-03-09"),
    CheckedIn("o", "u", "v", "s"),
    IntakeUpdated(FACTS, symptoms="Dives.\nSinks."),
    IntakeUpdated(FACTS[:1]),
    Answered("bearing-load", "Jo", "2026-03-02", "as it is"),
    Prepared(("wipers",), ready=True),
    Prepared(),
    PassedOn("Lou"),
    StepDone("off:air_charge", (EMPTY, LOOK), 60.0),
    ProblemFound("crack", "inspect:lowers", ("castings",)),
    PutOnHold(HoldReason.PARTS, "wipers 35 mm", "18 euro"),
    Resumed("yes, do it", "Jo", "2026-03-03", yes=True),
    Resumed(),
    FinalChecked((LEFT,), passed=True),
    HandedOver(accepted=True, how="in person", come_back="2026-04-01"),
    HandedOver(accepted=False),
    WorkRefused("The crown creaks.", scrapped=True),
    DueDateSet("2026-03-09"),
    DueDateSet(None),
    Noted("creaks"),
    CheckedIn("o", "u", "v", "s", condition=(COATING, PLAY, RUST), photos=("p3",)),
    StepDone("inspect:lowers", (LOOK,), 60.0, ("p1",)),
)


def filled(payload: Payload, choice: UnitChoice, typed: dict[str, str]) -> Filled:
    """The form of an entry as a browser sends it: a tick that is off is not sent."""
    said = {box.name: box.value for box in boxes_of(payload, choice)} | typed
    limits = {"pressure_zero": Record("pressure_zero", "Gauge at zero.", Quantity.PRESSURE, 0.0, 13_800.0)}
    return Filled(Form(tuple((name, text) for name, text in said.items() if text)), choice, limits)


def with_empties(one: Filled, payload: Payload, choice: UnitChoice) -> Filled:
    """The same with the fields that are empty, which a browser sends too."""
    names = [box.name for box in boxes_of(payload, choice) if box.kind != "tick" and not one.form.has(box.name)]
    return replace(one, form=Form((*one.form.pairs, *((name, "") for name in names))))


@pytest.mark.parametrize("payload", ENTRIES, ids=lambda one: one.kind)
@pytest.mark.parametrize("choice", [UnitChoice(), BAR], ids=["psi", "bar"])
def test_a_form_sent_as_it_was_filled_changes_nothing(payload: Payload, choice: UnitChoice) -> None:
    assert corrected(payload, with_empties(filled(payload, choice, {}), payload, choice)) == payload


def test_every_kind_with_something_to_put_right_is_among_them() -> None:
    assert {type(one) for one in ENTRIES} == {*FIELDS, StepDone, FinalChecked}
    assert all(boxes_of(one, UnitChoice()) for one in ENTRIES)


@pytest.mark.parametrize(
    ("payload", "typed", "field", "becomes"),
    [
        (ENTRIES[0], {"fact.as_found.travel": "151"}, "facts", (FACTS[0], ("as_found.travel", "151 mm"), FACTS[2])),
        (ENTRIES[0], {"fact.wish.travel": ""}, "facts", (*FACTS[:2], ("wish.travel", ""))),
        (ENTRIES[0], {"due": ""}, "due", None),
        (ENTRIES[0], {"tasks": "damper, set-pressure=80psi"}, "tasks", ("damper", "set-pressure=80psi")),
        (ENTRIES[2], {"symptoms": "Sinks."}, "symptoms", "Sinks."),
        (ENTRIES[4], {"who": "Ada"}, "who", "Ada"),
        (ENTRIES[5], {"ready": ""}, "ready", False),
        (ENTRIES[7], {"to": ""}, "to", ""),
        (ENTRIES[9], {"what": "scratch"}, "what", "scratch"),
        (ENTRIES[10], {"reason": "customer"}, "reason", HoldReason.CUSTOMER),
        (ENTRIES[11], {"yes": "no"}, "yes", False),
        (ENTRIES[14], {"accepted": ""}, "accepted", False),
        (ENTRIES[16], {"scrapped": ""}, "scrapped", False),
        (ENTRIES[17], {"due": "2026-03-10"}, "due", "2026-03-10"),
        (ENTRIES[19], {"text": "no creak"}, "text", "no creak"),
        (ENTRIES[20], {"c0": "yes"}, "condition", (replace(COATING, within=True), PLAY, RUST)),
        (ENTRIES[20], {"c1": "yes"}, "condition", (COATING, replace(PLAY, within=True), RUST)),
        (ENTRIES[20], {"c2": ""}, "condition", (COATING, PLAY)),
        (ENTRIES[20], {"c2": "dust"}, "condition", (COATING, PLAY, Condition("dust"))),
        (ENTRIES[20], {"photo.p1": "no"}, "condition", (COATING, replace(PLAY, photos=("p2",)), RUST)),
        (ENTRIES[20], {"photo.p3": "no"}, "photos", ()),
        (ENTRIES[21], {"photo.p1": "no"}, "photos", ()),
    ],
)
def test_what_is_typed_stands_in(payload: Payload, typed: dict[str, str], field: str, becomes: object) -> None:
    made = corrected(payload, with_empties(filled(payload, UnitChoice(), typed), payload, UnitChoice()))
    assert getattr(made, field) == becomes
    assert replace(made, **{field: getattr(payload, field)}) == payload


@pytest.mark.parametrize(
    ("payload", "typed", "names"),
    [
        (ENTRIES[0], {"fact.as_found.travel": "150 psi", "due": "soon"}, {"fact.as_found.travel", "due"}),
        (ENTRIES[0], {"tasks": "wipers, polish"}, {"tasks"}),
        (ENTRIES[4], {"who": "", "when": ""}, {"who", "when"}),
        (ENTRIES[8], {"r0": "nothing"}, {"r0"}),
        (ENTRIES[10], {"what": ""}, {"what"}),
        (ENTRIES[16], {"reason": ""}, {"reason"}),
    ],
)
def test_what_is_wrong_is_told_by_its_field(payload: Payload, typed: dict[str, str], names: set[str]) -> None:
    with pytest.raises(InputErrors) as caught:
        corrected(payload, with_empties(filled(payload, UnitChoice(), typed), payload, UnitChoice()))
    assert {one.field for one in caught.value.errors} == names


def test_a_corrected_reading_is_held_again_against_its_limits_and_its_prediction() -> None:
    step = corrected(ENTRIES[8], filled(ENTRIES[8], UnitChoice(), {"r0": "30", "r1": "not good"}))
    proof = corrected(ENTRIES[13], filled(ENTRIES[13], UnitChoice(), {"r0": "60 psi"}))
    assert isinstance(step, StepDone)
    assert isinstance(proof, FinalChecked)
    assert [one.within_limits for one in (*step.readings, *proof.readings)] == [False, False, False]
    assert step.readings[0].as_typed == "30 psi"
    assert proof.readings[0].predicted == LEFT.predicted


# On the pages


def test_from_a_job_to_its_entry_corrected_beside_what_it_corrects(tablet: TestClient, records: Workshop) -> None:
    for page in (f"/jobs/{JOB}", f"/jobs/{JOB}/log"):
        assert f'href="/jobs/{JOB}/log/1"' in tablet.get(page).text
    here = f"/jobs/{JOB}/log/1"
    page = tablet.get(here).text
    was = re.search(r'name="fact.wish.travel"[^>]*value="([^"]*)"', page)
    assert was
    wrong = tablet.post(here, data=hidden_of(page) | {"fact.wish.travel": "x psi", "by": "Kim", "note": "misheard"})
    assert wrong.status_code == 422
    assert 'value="x psi"' in wrong.text
    assert 'value="misheard"' in wrong.text
    answer = tablet.post(here, data={"fact.wish.travel": "130", "symptoms": "Knocks.", "by": "Kim", "note": "misheard"})
    assert answer.status_code == 303
    state = open_job_numbered(records, JOB).view.state
    assert (state.fact("wish.travel"), state.symptoms) == ("130 mm", "Knocks.")
    after = unescape(tablet.get(answer.headers["location"]).text)
    assert "travel wished: 130 mm" in after
    assert f"travel wished: {unescape(was[1])}" in after
    assert "misheard" in after
