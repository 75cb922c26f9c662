"""Settling: what was left open at the counter, half a form, two tablets, and a unit that comes back."""

from __future__ import annotations

from starlette.testclient import TestClient

from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, list_drafts
from tests.support.web.check_in import TYPED, form_of, taken
from tests.support.web.one_job import JOB, hidden_of


def test_what_nobody_read_keeps_the_job_at_check_in_until_it_is_settled(tablet: TestClient, records: Workshop) -> None:
    job = taken(tablet, records, {name: text for name, text in TYPED.items() if name != "as_found.charge.pressure"})
    assert job.view.state.stage is Stage.CHECK_IN
    address = f"/jobs/{job.view.card.number}/check-in"
    page = tablet.get(address).text
    assert "Still to be read, or said to be unknown: pressure." in page
    typed = {name: text for name, text in TYPED.items() if name != "as_found.charge.pressure"}
    sent = hidden_of(page) | typed | {"as_found.charge.pressure.untold": "yes"}
    assert tablet.post(address, data=sent).status_code == 303
    state = open_job_numbered(records, job.view.card.number).view.state
    assert state.stage is Stage.PLAN
    assert state.fact("as_found.charge.pressure") == "not measured"
    assert state.fact("as_found.travel") == "150 ± 2 mm"


def test_settling_nothing_changes_nothing(tablet: TestClient, records: Workshop) -> None:
    job = taken(tablet, records, TYPED)
    before = job.view.state
    address = f"/jobs/{job.view.card.number}/check-in"
    assert tablet.post(address, data=hidden_of(tablet.get(address).text) | TYPED).status_code == 303
    after = open_job_numbered(records, job.view.card.number).view.state
    assert (after.facts, after.tasks, after.symptoms, after.condition) == (
        before.facts,
        before.tasks,
        before.symptoms,
        before.condition,
    )


def test_two_who_settle_the_same_job_are_told(tablet: TestClient, records: Workshop) -> None:
    job = taken(tablet, records, TYPED)
    address = f"/jobs/{job.view.card.number}/check-in"
    mine, theirs = (hidden_of(tablet.get(address).text) for _ in range(2))
    assert tablet.post(address, data=theirs | TYPED | {"by": "Lou", "rider.mass": "81"}).status_code == 303
    answer = tablet.post(address, data=mine | TYPED | {"by": "Kim", "symptoms": "typed by Kim"})
    assert answer.status_code == 409
    assert "Lou: intake updated" in answer.text
    assert "typed by Kim" in answer.text


def test_half_of_a_settling_is_kept_and_put_back(tablet: TestClient, records: Workshop) -> None:
    address = f"/jobs/{JOB}/check-in"
    form = hidden_of(tablet.get(address).text) | {"by": "Kim", "symptoms": "half a sent"}
    assert tablet.post(f"{address}/save", data=form).status_code == 303
    page = tablet.get(address).text
    assert "half a sent" in page
    assert hidden_of(page)["submission"] == form["submission"]
    assert open_job_numbered(records, JOB).view.state.entries == 1


def test_what_was_checked_in_meanwhile_is_not_kept_as_half_a_form(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet) | TYPED
    job = tablet.post("/check-in", data=form).headers["location"].partition("?")[0]
    assert tablet.post("/check-in/save", data=form).headers["location"] == job
    assert list_drafts(records, "check in") == ()


def test_a_unit_that_comes_back_is_linked_to_the_job_it_comes_back_from(tablet: TestClient, records: Workshop) -> None:
    first = taken(tablet, records, TYPED)
    number = first.view.card.number
    form = hidden_of(tablet.get(f"/jobs/{number}").text) | {"by": "Kim", "reason": "creaks"}
    assert tablet.post(f"/jobs/{number}/do/refuse", data=form).status_code == 303
    half = form_of(tablet) | TYPED | {"unit.pick": first.unit.id}
    assert f"because of job {number}" in tablet.get(tablet.post("/check-in/save", data=half).headers["location"]).text
    picked = {"customer.pick": first.customer.id, "unit.pick": first.unit.id, "unit.comeback": first.view.card.id}
    again = taken(tablet, records, TYPED | picked)
    assert again.view.state.comeback_of == first.view.card.id
    assert f"job {number}</a>." in tablet.get(f"/jobs/{again.view.card.number}").text
