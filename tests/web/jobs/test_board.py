"""The board and a job's own page: what stands where, and the small forms."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import Arrival, NewCustomer
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.dates import due_text
from sagwright.web.http.request import Shop
from tests.support.web.example_workshop import AT_LOOK
from tests.support.web.one_job import JOB, NASTY, NOW, hidden_of
from tests.support.web.serving import asking
from tests.support.workshops import ARRIVAL


def act(tablet: TestClient, name: str, **said: str) -> tuple[int, str]:
    """A small form, sent from the page as it stands."""
    form = hidden_of(tablet.get(f"/jobs/{JOB}").text)
    answer = tablet.post(f"/jobs/{JOB}/do/{name}", data=form | {"by": "Kim"} | said)
    return answer.status_code, answer.text


def test_it_works(tablet: TestClient, records: Workshop) -> None:
    assert act(tablet, "hold", reason="parts", what="wipers")[0] == 303
    assert "parts: wipers" in tablet.get("/").text
    assert act(tablet, "resume", answer="they came")[0] == 303
    assert act(tablet, "due", due="2026-03-01")[0] == 303
    assert act(tablet, "pass-on", to="Lou")[0] == 303
    state = open_job_numbered(records, JOB).view.state
    assert (state.on_hold, state.due, state.holder) == (None, "2026-03-01", "Lou")
    assert "3 days overdue" in tablet.get("/").text
    assert act(tablet, "refuse", reason="cracked", scrapped="yes")[0] == 303
    assert open_job_numbered(records, JOB).view.state.stage is Stage.SCRAPPED


@pytest.mark.parametrize(
    ("due", "words", "overdue"),
    [
        (None, "", False),
        ("2026-03-04", "today", False),
        ("2026-03-05", "tomorrow", False),
        ("2026-03-07", "Sat 7 Mar, in 3 days", False),
        ("2026-03-03", "Tue 3 Mar, 1 day overdue", True),
        ("2025-12-30", "Tue 30 Dec 2025, 64 days overdue", True),
        ("soon", "soon", False),
    ],
)
def test_a_due_day_in_words(due: str | None, words: str, overdue: bool) -> None:  # noqa: FBT001
    assert (due_text(due, NOW.date()).text, due_text(due, NOW.date()).overdue) == (words, overdue)


@pytest.mark.parametrize("query", ["1001", "0417", "jo exam", "T35", "JÓ"])
def test_a_job_is_found_by_number_serial_customer_and_unit(tablet: TestClient, query: str) -> None:
    assert f'href="/jobs/{JOB}"' in tablet.get("/", params={"q": query}).text


@pytest.mark.parametrize(
    ("name", "said", "field"),
    [
        ("hold", {"what": "typed here"}, "f-hold-reason"),
        ("hold", {"reason": "parts", "amount": "typed here"}, ""),
        ("due", {"due": "soon"}, "f-due-due"),
        ("refuse", {"scrapped": "yes"}, "f-refuse-reason"),
        ("note", {}, "f-note-text"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_is_kept(
    tablet: TestClient, name: str, said: dict[str, str], field: str
) -> None:
    status, page = act(tablet, name, **said)
    assert status == 422
    assert f'href="#{field}"' in page if field else "typed here" in page
    assert "autofocus" in page
    assert all(text in page for text in said.values() if text == "typed here")


def test_twice_is_once(tablet: TestClient, records: Workshop) -> None:
    form = hidden_of(tablet.get(f"/jobs/{JOB}").text) | {"by": "Kim", "text": "heard a knock"}
    answers = [tablet.post(f"/jobs/{JOB}/do/note", data=form).status_code for _ in range(3)]
    assert answers == [303, 303, 303]
    assert len(open_job_numbered(records, JOB).view.entries) == 2


def test_the_second_of_two_is_told_who_did_what_and_keeps_what_was_typed(tablet: TestClient, records: Workshop) -> None:
    mine, theirs = (hidden_of(tablet.get(f"/jobs/{JOB}").text) for _ in range(2))
    said = {"reason": "customer", "what": "yes to wipers"}
    assert tablet.post(f"/jobs/{JOB}/do/due", data=theirs | {"by": "Lou", "due": "2026-03-09"}).status_code == 303
    answer = tablet.post(f"/jobs/{JOB}/do/hold", data=mine | {"by": "Kim"} | said)
    assert answer.status_code == 409
    assert "Lou: due" in answer.text
    assert "yes to wipers" in answer.text
    again = hidden_of(answer.text)
    assert again["submission"] != mine["submission"]
    assert tablet.post(f"/jobs/{JOB}/do/hold", data=again | {"by": "Kim"} | said).status_code == 303


def test_a_form_without_a_name_is_not_recorded(tablet: TestClient, records: Workshop) -> None:
    form = hidden_of(tablet.get(f"/jobs/{JOB}").text)
    answer = tablet.post(f"/jobs/{JOB}/do/note", data=form | {"text": "typed here"})
    assert answer.status_code == 422
    assert "typed here" in answer.text
    assert len(open_job_numbered(records, JOB).view.entries) == 1
    assert tablet.post("/who", data={"by": "Kim  \n Example", "back": "/"}).status_code == 303
    assert "Kim Example" in tablet.get("/").text


@pytest.mark.parametrize("name", NASTY)
def test_any_name_is_shown_as_it_is(tablet: TestClient, records: Workshop, name: str) -> None:
    check_in(records, Arrival(NewCustomer(name), ARRIVAL.sheet, ARRIVAL.facts), Submission("another-one", name, NOW))
    act(tablet, "pass-on", to=name)
    for address in ("/", f"/jobs/{JOB + 1}", f"/jobs/{JOB}", f"/?q={JOB}"):
        page = tablet.get(address).text
        assert "<script>alert" not in page
        assert page.count("<bdi") == page.count("</bdi>")


def test_no_such_job_or_form(tablet: TestClient) -> None:
    for address in ("/jobs/7", "/jobs/x", "/jobs/1" * 9, "/photos/none", "/jobs/7/prepare", "/jobs/7/check-in"):
        assert tablet.get(address).status_code == 404
    assert tablet.post(f"/jobs/{JOB}/do/nothing", data={"by": "Kim"}).status_code == 404


def test_200_open_jobs_stay_small_and_are_one_query(tablet: TestClient, records: Workshop) -> None:
    for number in range(199):
        arrival = Arrival(NewCustomer(f"Customer {number} of the Long Name"), ARRIVAL.sheet, ARRIVAL.facts)
        check_in(records, arrival, Submission(f"number-{number:04}", "Kim", NOW))
    asked: list[str] = []
    event.listen(records.engine, "before_cursor_execute", lambda *given: asked.append(given[2]))
    page = tablet.get("/")
    assert page.text.count('<td class="no">') == 200
    assert len(page.content) < 150_000
    assert len([one for one in asked if one.startswith("SELECT")]) == 1
    assert len(tablet.get(f"/jobs/{JOB}").content) < 150_000


def test_the_records_opened_twice_are_the_same(tmp_path: Path, records: Workshop, tablet: TestClient) -> None:
    act(tablet, "note", text="before the crash")
    with open_workshop(tmp_path / "workshop.sqlite") as again:
        other = asking(create_app(Shop(again, now=lambda: NOW)))
        assert "before the crash" in other.get(f"/jobs/{JOB}").text


@pytest.mark.parametrize("page", [f"/jobs/{AT_LOOK}", f"/jobs/{AT_LOOK}/log", f"/jobs/{AT_LOOK}/log/6"])
def test_a_recorded_step_is_told_by_its_title(client: TestClient, page: str) -> None:
    text = client.get(page).text
    assert re.search(r"Step done: [A-Z][a-z]+ ", text)
    assert not re.search(r"\b(?:off|on|inspect|charge|prove|change):[a-z]", text)
