"""Choosing: what controls come to, with and without script; nothing is decided that was not shown."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import escape, unescape
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from sagwright.formats.output.plan import plan_to_json
from sagwright.phrases import quantities
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS
from sagwright.service.jobs.decision import propose
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop
from sagwright.units import UnitChoice
from sagwright.web.http.guard import Guard
from tests.support.command_line import Shell
from tests.support.web.browser import PHONE, Opener
from tests.support.web.example_workshop import (
    AS_BEFORE,
    COIL,
    EXAMPLES,
    NAMES,
    REFUSED,
    SHAFT,
    TASKS_ONLY,
    UNKNOWN,
    UNREADY,
    WITH_BIKE,
    example_site,
)
from tests.support.web.serving import asking
from tests.support.web.tables import rows

PSI = 6894.757293168  # Pa
PLANNED = [(number, name) for number, name in zip(range(WITH_BIKE, REFUSED), NAMES, strict=False)]


def at(number: int, **controls: str) -> str:
    query = "&".join(f"{key}={value}" for key, value in controls.items())
    return f"/jobs/{number}/plan?{query}" if query else f"/jobs/{number}/plan"


def distance(option: dict[str, Any]) -> str:
    """How far from the aim, or from where to where over what as found may turn out to be."""
    low, high = (f"{option[key]['value']:.1f}" for key in ("mismatch_low", "mismatch"))
    return high if low == high else f"{low}–{high}"


def shown_order(plan: dict[str, Any]) -> list[dict[str, Any]]:
    """The eight nearest, with the target and what leaves things as they were; then the others."""
    near = [place < 8 or one == plan["target"] or one["as_found_pressure"] for place, one in enumerate(plan["options"])]
    return [
        one for first in (True, False) for one, is_near in zip(plan["options"], near, strict=True) if is_near is first
    ]


def planned(shell: Shell, name: str) -> dict[str, Any]:
    """What `sagwright plan --json` says of the same intake."""
    answer = shell("plan", str(EXAMPLES / f"{name}.yaml"), "--json")
    assert answer.code == 0, answer.err
    plan: dict[str, Any] = json.loads(answer.out)
    return plan


@pytest.mark.parametrize(("number", "name"), PLANNED)
def test_its_numbers_are_those_of_plan_json(
    client: TestClient, capsys: pytest.CaptureFixture[str], number: int, name: str
) -> None:
    plan, page = planned(Shell(capsys), name), client.get(at(number)).text
    for term, row in zip(BEHAVIOUR_TERMS, rows(page, "behaviour")[1:], strict=True):
        value, uncertainty = (plan["target"]["behaviour"][term.field][key] for key in ("value", "u"))
        assert row[0] == term.name
        assert row[3] == quantities.in_column(value, term.quantity, UnitChoice())
        assert row[4] == f"± {quantities.uncertainty_in_column(uncertainty, term.quantity, UnitChoice())}"
    shown = [row for row in rows(page, "options")[2:] if row[-1] != "take it"]
    options = shown_order(plan)
    if number != COIL:
        assert [row[1] for row in shown] == [f"{one['pressure_gauge']['value'] / PSI:.0f}" for one in options]
    assert [row[-3] for row in shown] == [f"{one['behaviour']['capacity']['value']:.0f}" for one in options]
    assert [row[-2] for row in shown] == [distance(one) for one in options]


def test_what_is_refused_is_disabled_and_says_why(client: TestClient) -> None:
    page = client.get(at(WITH_BIKE)).text
    for travel in ("90", "160"):
        assert re.search(rf'value="{travel} mm" disabled aria-describedby="travel-why"', page)
    assert not re.search(r'value="120 mm"[^>]*disabled', page)
    assert "90, 100, 160, 170: chassis mid takes 110 mm to 150 mm only" in page
    assert "5 to 6" not in page


def test_a_shaft_leaves_room_for_fewer_spacers_and_says_so(client: TestClient) -> None:
    page = client.get(at(SHAFT)).text
    assert "3 to 4: this travel leaves room for 2 volume spacers." in page
    assert re.search(r'name="spacers" value="3" disabled', page)
    assert not re.search(r'name="spacers" value="2" disabled', page)


def test_a_refused_wish_shows_what_can_be_chosen_instead(client: TestClient) -> None:
    page = client.get(at(REFUSED)).text
    assert "This is refused as a target" in page
    assert re.search(r'<button class="main" disabled aria-describedby="blocked"', page)
    again = client.get(at(REFUSED, travel="100+mm")).text
    assert "100 mm of travel" in again


def test_what_is_unknown_until_open_shows_ranges(client: TestClient) -> None:
    found = [row[1] for row in rows(client.get(at(UNKNOWN)).text, "behaviour")[1:]]
    assert all("–" in cell for cell in found)


def test_what_is_missing_is_told_by_its_field(client: TestClient) -> None:
    page = client.get(at(UNREADY)).text
    assert "as_found" in page
    assert "must be given" in page


def test_tasks_alone_are_decided_without_a_choice(client: TestClient) -> None:
    page = client.get(at(TASKS_ONLY)).text
    assert "No travel change: the tasks set the work." in page
    assert "set-pressure 150 psi" in page
    assert '<button class="main">Decide<' in page


@pytest.mark.parametrize("number", ["1", "99999999999", "x", "-1", "1001%20"])
def test_a_job_that_is_not_there_is_told(client: TestClient, number: str) -> None:
    answer = client.get(f"/jobs/{number}/plan")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("12o", "Must be a pressure"),
        ("7,2", "decimal mark"),
        ("7 mm", "a unit of length"),
        ("9999", "Must be"),
        ("<b>", "Must be a pressure"),
    ],
)
def test_what_cannot_be_read_is_told_beside_the_field_and_kept(client: TestClient, typed: str, says: str) -> None:
    page = client.get("/jobs/1001/plan", params={"travel": "130 mm", "pressure": typed, "pressure.unit": "psi"}).text
    assert says in unescape(page)
    assert f'value="{escape(typed)}"' in page
    assert 'aria-invalid="true" aria-describedby="pressure-wrong"' in page
    assert "put it right first" in page
    assert "130 mm of travel" in page


def test_switching_units_changes_nothing(client: TestClient) -> None:
    typed = {"travel": "130 mm", "pressure": "105", "pressure.unit": "psi", "aim": "as-it-rode"}
    first = client.get("/jobs/1001/plan", params=typed).text
    assert "105 psi" in first
    client.post("/display", data={"pressure": "bar", "mark": ",", "back": "/"})
    page = client.get("/jobs/1001/plan", params=typed).text
    assert 'name="pressure" value="7,24"' in page
    assert 'name="fact" value="wish.pressure=105 psi"' in page
    untouched = typed | {"pressure": "7,24", "pressure.unit": "bar", "pressure.was": "7,24", "pressure.as": "105 psi"}
    again = client.get("/jobs/1001/plan", params=untouched).text
    assert 'name="fact" value="wish.pressure=105 psi"' in again
    touched = client.get("/jobs/1001/plan", params=untouched | {"pressure": "7,3"}).text
    assert 'name="fact" value="wish.pressure=7.3 bar"' in touched


def test_an_option_can_be_taken(client: TestClient) -> None:
    answer = client.get("/jobs/1001/plan", params={"travel": "130 mm", "take": "spacers=4"})
    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert "4 volume spacers" in page
    same = client.get(
        "/jobs/1001/plan",
        params={
            "travel": "130 mm",
            "take": "spacers=1&pressure=78&pressure.unit=psi&pressure.was=78&pressure.as=78+psi",
        },
    )
    page = client.get(same.headers["location"]).text
    assert 'name="fact" value="wish.pressure=78 psi"' in page


def test_a_coil_has_coils_and_preload_for_controls(client: TestClient) -> None:
    page = client.get(at(COIL)).text
    assert 'name="coil" value="firm"' in page
    assert 'name="preload" value="2"' in page
    assert 'name="pressure"' not in page
    pinned = client.get(at(COIL, travel="160+mm", coil="firm", preload="1")).text
    assert "coil firm; 1 preload spacer" in pinned
    assert 'name="fact" value="wish.coil=firm"' in pinned


@pytest.mark.parametrize(
    "field", ["travel", "spacers", "pressure", "aim", "sag", "capacity", "coil", "preload", "take"]
)
def test_what_is_sent_is_never_repeated_as_markup(client: TestClient, field: str) -> None:
    hostile = '"><script>alert(1)</script>'
    fields = {"travel": "150 mm", "coil": "firm"} | {field: hostile}
    answer = client.get(at(COIL), params=fields, follow_redirects=True)
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text


# Acting: on a workshop of one's own


@pytest.fixture(scope="module")
def own(example: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Guard]:
    with example_site(example, tmp_path_factory.mktemp("acting")) as made:
        yield made


def records(site: Guard) -> Workshop:
    store: Workshop = site.app.state.shop.records
    return store


def hidden(page: str, name: str) -> list[str]:
    return [unescape(text) for text in re.findall(rf'name="{name}" value="([^"]*)"', page)]


def test_asked_answered_decided_once_and_nothing_overlooked(own: Guard) -> None:
    with asking(own) as tablet:
        page = tablet.get(at(WITH_BIKE)).text
        blocked = decision(page)
        assert tablet.post(at(WITH_BIKE), data=blocked).status_code == 409
        said = {"about": "frame.too-short", "who": "frame maker", "when": "2026-03-02", "answer": "down to 516 mm"}
        said |= {"submission": hidden(page, "submission")[0], "by": "Kim", "back": at(WITH_BIKE)}
        for _ in range(2):
            answer = tablet.post(f"/jobs/{WITH_BIKE}/plan/answer", data=said)
            assert (answer.status_code, answer.headers["location"]) == (303, at(WITH_BIKE))
        page = tablet.get(at(WITH_BIKE, travel="120+mm", spacers="3")).text
        assert "down to 516 mm" in page
        assert 'value="Kim"' in page
        for _ in range(2):
            answer = tablet.post(at(WITH_BIKE), data=decision(page))
            assert answer.status_code == 303, answer.text
    job = open_job_numbered(records(own), WITH_BIKE).view
    assert [entry.payload.kind for entry in job.entries] == ["checked in", "answered", "decided"]
    assert (job.state.fact("wish.travel"), job.state.fact("wish.volume_spacers")) == ("120 mm", "3")
    assert job.card.stage == "prepare"


def decision(page: str) -> dict[str, str | list[str]]:
    """What the form that decides would send."""
    form = page[page.index('<section class="decide"') :]
    submission, expected = hidden(form, "submission")[0], hidden(form, "expected")[0]
    return {"submission": submission, "expected": expected, "by": "Kim", "fact": hidden(form, "fact")}


def test_the_second_of_two_tablets_is_told(own: Guard) -> None:
    with asking(own) as one, asking(own) as other:
        pages = [tablet.get(at(AS_BEFORE)).text for tablet in (one, other)]
        assert one.post(at(AS_BEFORE), data=decision(pages[0])).status_code == 303
        late = other.post(at(AS_BEFORE), data=decision(pages[1]))
    assert late.status_code == 409
    assert "Nothing was" in late.text or "since" in late.text


def test_nobody_decides_without_a_name(own: Guard) -> None:
    with asking(own) as tablet:
        page = tablet.get(at(SHAFT)).text
        answer = tablet.post(at(SHAFT), data=decision(page) | {"by": ""})
    assert answer.status_code == 422
    assert "Write your name" in answer.text


def test_only_facts_of_the_wish_are_taken(own: Guard) -> None:
    with asking(own) as tablet:
        form = decision(tablet.get(at(SHAFT)).text)
        tablet.post(at(SHAFT), data=form | {"fact": ["unit.serial=stolen", "as_found.travel=1 mm"]})
    assert open_job_numbered(records(own), SHAFT).view.state.fact("unit.serial") == "P34-2288"


def test_what_is_shown_is_what_is_proposed(client: TestClient, site: Guard) -> None:
    store = records(site)
    work = propose(store, open_job_numbered(store, WITH_BIKE).view.card.id, (("wish.travel", "120 mm"),)).plan
    target = json.loads(plan_to_json(work))["target"]
    page = client.get(at(WITH_BIKE, travel="120+mm", aim="as-it-rode")).text
    assert rows(page, "behaviour")[1][3] == f"{target['behaviour']['sag']['value'] * 1e3:.1f}"


# In a browser


def test_a_change_shows_what_it_does_and_keeps_focus(open_page: Opener) -> None:
    page = open_page(at(WITH_BIKE))
    page.evaluate("window.unreloaded = true")
    page.get_by_role("radio", name="120").check()
    expect(page.get_by_role("region", name="Target")).to_contain_text("120 mm of travel")
    expect(page.get_by_role("radio", name="120")).to_be_focused()
    expect(page.locator("#announce")).to_contain_text("120 mm of travel")
    assert "travel=120" in page.url
    pressure = page.get_by_role("textbox", name="pressure, psi")
    pressure.fill("104")
    pressure.press("ArrowLeft")
    expect(page.get_by_role("region", name="Target")).to_contain_text("104 psi")
    expect(pressure).to_be_focused()
    assert pressure.evaluate("e => e.selectionStart") == 2
    page.get_by_role("button", name="more: pressure").click()
    expect(page.get_by_role("region", name="Target")).to_contain_text("105 psi")
    expect(page.get_by_role("button", name="more: pressure")).to_be_focused()
    assert page.evaluate("window.unreloaded")
    page.reload()
    expect(page.get_by_role("region", name="Target")).to_contain_text("105 psi")


@pytest.mark.slow
def test_what_is_typed_elsewhere_and_not_sent_outlives_a_change(open_page: Opener) -> None:
    page = open_page(at(WITH_BIKE))
    answers = page.locator("form.answer").first
    answers.get_by_label("who answered").fill("Jo, by telephone")
    wipers = page.get_by_role("checkbox", name="new wipers")
    damper = page.get_by_role("checkbox", name="damper removed and refitted")
    ticked = not wipers.is_checked()
    wipers.set_checked(ticked)
    page.get_by_role("radio", name="120").check()
    expect(page.get_by_role("region", name="Target")).to_contain_text("120 mm of travel")
    expect(wipers).to_be_checked(checked=ticked)
    assert damper.is_checked() is damper.evaluate("one => one.defaultChecked")
    expect(answers.get_by_label("who answered")).to_have_value("Jo, by telephone")


@pytest.mark.slow
def test_the_last_of_many_quick_changes_wins(open_page: Opener) -> None:
    page = open_page(at(WITH_BIKE))
    for travel in ("110", "120", "140", "150", "110", "140"):
        page.get_by_role("radio", name=re.compile(travel)).check(force=True)
    expect(page.get_by_role("region", name="Target")).to_contain_text("140 mm of travel")
    page.wait_for_timeout(400)
    expect(page.get_by_role("region", name="Target")).to_contain_text("140 mm of travel")
    expect(page.get_by_role("radio", name="140")).to_be_checked()


@pytest.mark.slow
def test_a_server_that_is_gone_loses_nothing_typed(open_page: Opener) -> None:
    page = open_page(at(WITH_BIKE))
    page.route("**/*", lambda route: route.abort())
    page.get_by_role("textbox", name="pressure, psi").fill("101")
    expect(page.get_by_role("status").filter(has_text="cannot be reached")).to_be_visible()
    expect(page.get_by_role("textbox", name="pressure, psi")).to_have_value("101")
    page.unroute("**/*")
    page.get_by_role("textbox", name="pressure, psi").fill("102")
    expect(page.get_by_role("region", name="Target")).to_contain_text("102 psi")


def test_without_script_a_button_shows_it(open_page: Opener) -> None:
    page = open_page(at(WITH_BIKE), PHONE, script=False)
    page.get_by_role("radio", name="120").check()
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_role("region", name="Target")).to_contain_text("120 mm of travel")
