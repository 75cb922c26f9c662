"""Prepare: the tools and parts, the time and the customer's yes, as decided; and the sheet that goes to the stand on
one page."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from sagwright.domain.item import Act
from sagwright.domain.records.stages import Stage
from sagwright.domain.step import Step
from sagwright.domain.value import Value
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.decision import propose
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.units import UnitChoice
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from sagwright.web.jobs.work_order import times_of
from tests.support.web.browser import Opener
from tests.support.web.example_workshop import TO_PREPARE, arrival_of
from tests.support.web.one_job import JOB, NOW, front, hidden_of
from tests.support.web.serving import asking
from tests.support.workshops import Person, decided, decided_otherwise


@pytest.fixture
def records(tmp_path: Path) -> Workshop:
    store = front(tmp_path)
    decided(store, open_job_numbered(store, JOB).view.card.id, Person(start=NOW + timedelta(hours=1)))
    return store


HERE = f"/jobs/{JOB}/prepare"


def test_it_works(tablet: TestClient, records: Workshop) -> None:
    page = tablet.get(HERE).text
    ticks = dict.fromkeys(re.findall(r'type="checkbox" name="(tools_and_parts\.[^"]+)"', page), "yes")
    assert len(ticks) > 10
    some = dict(list(ticks.items())[:3])
    assert tablet.post(HERE, data=hidden_of(page) | {"by": "Kim"} | some).status_code == 303
    state = open_job_numbered(records, JOB).view.state
    assert (len(state.ticked), state.ready) == (3, False)
    page = tablet.get(HERE).text
    assert page.count(" checked") == 3
    tablet.post(HERE, data=hidden_of(page) | {"by": "Kim"} | ticks)
    assert open_job_numbered(records, JOB).view.state.ready
    assert "all ready" in tablet.get(HERE).text


def test_a_plan_that_would_be_another_one_today_is_said(tablet: TestClient, records: Workshop) -> None:
    assert "computes another plan" not in tablet.get(HERE).text
    decided_otherwise(
        records, open_job_numbered(records, JOB).view.card.id, Person("Lou", start=NOW + timedelta(hours=2))
    )
    assert "computes another plan from what was recorded then (target and steps)" in tablet.get(HERE).text


def test_what_it_shows_is_what_was_decided(tablet: TestClient, records: Workshop) -> None:
    work = propose(records, open_job_numbered(records, JOB).view.card.id).plan.work
    page = tablet.get(HERE).text
    assert page.count('<span class="time">') == len(work.steps)
    minutes = round(sum(step.minutes.si for step in work.steps) / 60)
    assert f"<dd>{minutes} min</dd>" in page
    assert "WARNING" in page
    assert page.count('<span class="hold-point">') == sum(step.hold_point for step in work.steps)


def test_the_pressure_is_among_what_changes(tablet: TestClient, records: Workshop) -> None:
    work = propose(records, open_job_numbered(records, JOB).view.card.id).plan.work
    assert [change.field for change in work.changes if change.field == "charge"]
    changed = tablet.get(HERE).text.split('id="changes"')[1].split("</section>")[0]
    assert changed.count("<dt>") == len(work.changes)
    assert "psi" in changed


def test_what_a_task_alone_needs_says_so(tmp_path: Path) -> None:
    """Beside a wish for travel, with its steps shared: only those that the damper alone needs are said to be for it."""
    with open_workshop(tmp_path / "beside.sqlite") as store:
        kim = Person("Kim", start=NOW)
        job = check_in(store, replace(arrival_of("shorten-t35-bike", "Jo Example"), tasks=("damper",)), kim()).card.id
        decided(store, job, kim)
        work = propose(store, job).plan.work
        page = asking(create_app(Shop(store, now=lambda: NOW))).get("/jobs/1001/prepare").text
    alone = [tasks for _, tasks in work.needed_by if [str(task.kind) for task in tasks] == ["damper"]]
    assert alone
    assert page.count(">for: damper<") == len(alone)
    assert 0 < page.count(">for: ") < len(work.steps)


def test_the_time_and_its_spread() -> None:
    """Two steps of 30 ± 3 and 60 ± 4 min: 90 min, ± 5 if independent, 54 to 126 min at ±40 % of the whole."""
    times = times_of((_step(30, 3), _step(60, 4)), UnitChoice())
    assert (times.expected, times.independent, times.low, times.high) == ("90 min", "5 min", "54 min", "2.1 h")
    assert times.hours == "1.5 h, between 0.75 and 2.25 h"
    assert times_of((_step(30, 3), _step(60, 4)), UnitChoice(decimal=",")).hours == "1,5 h, between 0,75 and 2,25 h"


def _step(minutes: float, u: float) -> Step:
    return Step("off:x", Act.OFF, "x", "x", "Do it.", "here", Value(minutes * 60.0, u * 60.0))


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ({"answer": "yes", "amount": "95 euro", "who": "Jo"}, "answered"),
        ({"answer": "later", "amount": "95 euro"}, "put on hold"),
    ],
)
def test_the_customers_answer_is_recorded_once(
    tablet: TestClient, records: Workshop, said: dict[str, str], kind: str
) -> None:
    form = hidden_of(tablet.get(HERE).text) | {"by": "Kim"} | said
    assert [tablet.post(f"{HERE}/customer", data=form).status_code for _ in range(2)] == [303, 303]
    entries = open_job_numbered(records, JOB).view.entries
    assert sum(entry.payload.kind == kind for entry in entries) == 1
    assert "95 euro" in tablet.get(f"/jobs/{JOB}").text


def test_after_waiting_a_yes_lets_it_go_on(tablet: TestClient, records: Workshop) -> None:
    for said in ({"answer": "later", "amount": "95 euro"}, {"answer": "yes", "amount": "95 euro", "who": "Jo"}):
        form = hidden_of(tablet.get(HERE).text) | {"by": "Kim"} | said
        assert tablet.post(f"{HERE}/customer", data=form).status_code == 303
    assert open_job_numbered(records, JOB).view.state.on_hold is None
    assert "Jo, 2026-03-04: yes to the estimate: 95 euro" in tablet.get(HERE).text


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ({"amount": "typed here"}, "f-answer"),
        ({"answer": "yes"}, "f-amount"),
        ({"answer": "yes", "amount": "typed here"}, "f-who"),
        ({"answer": "yes", "amount": "typed here", "who": "Jo", "when": "soon"}, "f-when"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(tablet: TestClient, said: dict[str, str], key: str) -> None:
    answer = tablet.post(f"{HERE}/customer", data=hidden_of(tablet.get(HERE).text) | {"by": "Kim"} | said)
    assert answer.status_code == 422
    assert f'href="#{key}"' in answer.text
    assert answer.text.count("autofocus") == 1
    assert "amount" not in said or "typed here" in answer.text


def ticks_of(page: str) -> dict[str, bool]:
    return {
        name: "checked" in rest
        for name, rest in re.findall(r'type="checkbox" name="(tools_and_parts\.[^"]+)"([^>]*)>', page)
    }


def test_ticks_survive_the_tablet_until_they_are_recorded(tablet: TestClient, records: Workshop) -> None:
    first, second, *_ = ticks_of(tablet.get(HERE).text)
    kept = tablet.post(f"{HERE}/save", data=hidden_of(tablet.get(HERE).text) | {"by": "Kim", first: "yes"})
    assert kept.headers["location"] == HERE
    other = asking(create_app(Shop(records, now=lambda: NOW)))  # another tablet
    page = other.get(HERE).text
    assert [name for name, on in ticks_of(page).items() if on] == [first]
    assert "Draft of <bdi>Kim</bdi> restored" in page
    assert open_job_numbered(records, JOB).view.state.ticked == ()
    submission = re.findall(r'name="submission" value="([^"]+)"', page)[0]
    form = {"submission": submission, "by": "Lou", first: "yes", second: "yes"}
    assert other.post(HERE, data=form).status_code == 303
    assert len(open_job_numbered(records, JOB).view.state.ticked) == 2
    assert "restored" not in other.get(HERE).text


def test_the_customers_answer_leaves_ticks_that_are_not_recorded(tablet: TestClient) -> None:
    page = tablet.get(HERE).text
    tick = next(iter(ticks_of(page)))
    tools_and_parts, customer = re.findall(r'name="submission" value="([^"]+)"', page)[:2]
    tablet.post(f"{HERE}/save", data={"submission": tools_and_parts, "by": "Kim", tick: "yes"})
    said = {"submission": customer, "by": "Kim", "answer": "yes", "amount": "95 euro", "who": "Jo"}
    assert tablet.post(f"{HERE}/customer", data=said).status_code == 303
    assert ticks_of(tablet.get(HERE).text)[tick]


def test_a_tick_is_kept_as_it_is_made(open_page: Opener) -> None:
    page = open_page(f"/jobs/{TO_PREPARE}/prepare")
    if page.get_by_label("who is at this device").count():
        page.get_by_label("who is at this device").first.fill("Kim")
    box = page.locator("#tools_and_parts-form input[type=checkbox]").first
    box.check()
    expect(page.locator("#tools_and_parts-form [data-saved]")).to_have_text("Draft saved.")
    page.reload()
    expect(page.locator("#tools_and_parts-form input[type=checkbox]").first).to_be_checked()


def test_the_second_of_two_tablets_is_told(tablet: TestClient) -> None:
    mine, theirs = (hidden_of(tablet.get(HERE).text) for _ in range(2))
    tablet.post(f"{HERE}/customer", data=theirs | {"by": "Lou", "answer": "yes", "amount": "95 euro", "who": "Jo"})
    page = tablet.get(HERE).text
    tick = re.findall(r'type="checkbox" name="(tools_and_parts\.[^"]+)"', page)[0]
    answer = tablet.post(HERE, data=mine | {"by": "Kim", tick: "yes"})
    assert answer.status_code == 409
    assert "Lou: answered" in answer.text
    assert answer.text.count(" checked") == 1


def test_before_anything_is_decided_it_leads_to_the_job(tmp_path: Path) -> None:
    tablet = asking(create_app(Shop(front(tmp_path), now=lambda: NOW)))
    for page in ("prepare", "sheet"):
        assert tablet.get(f"/jobs/{JOB}/{page}").headers["location"].startswith(f"/jobs/{JOB}?done=Nothing")


def test_units_are_those_of_the_browser(tablet: TestClient, records: Workshop) -> None:
    assert open_job_numbered(records, JOB).view.state.stage is Stage.PREPARE
    tablet.post("/display", data={"pressure": "bar", "torque": "lbf·in", "mark": ","})
    page = tablet.get(f"/jobs/{JOB}/sheet").text
    assert "lbf·in" in page
    assert " bar" in page
    assert "N·m greased" not in page


def test_the_sheet_is_one_page_of_paper_with_every_torque_and_hold_point(open_page: Opener) -> None:
    page = open_page(f"/jobs/{TO_PREPARE}/sheet")
    for title in ("Set", "Fills", "Torques, each with its thread state"):
        assert page.get_by_role("heading", name=title).is_visible()
    assert page.locator(".hold-points li").count() > 5
    page.emulate_media(media="print")
    assert not page.get_by_role("navigation", name="Open jobs").is_visible()
    for paper in ("A4", "Letter"):
        printed = page.pdf(format=paper)
        assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == 1, paper
