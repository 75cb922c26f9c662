"""Sheets: read, written with findings at the line, kept as revisions, compared, and measured on a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from sagwright.domain.item import Act
from sagwright.formats.sheet.catalogue import shipped_bases, shipped_sheets
from sagwright.service.sheets import list_revisions, read_revision
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.guard import Guard
from sagwright.web.http.request import Shop
from sagwright.web.sheets.measurements import BASE_KINDS, MEASURE_GROUPS
from tests.support.web.browser import PHONE, Opener
from tests.support.web.example_workshop import OWN_IDS, OWN_KEY, OWN_SHEET, example_site
from tests.support.web.one_job import NOW, hidden_of
from tests.support.web.serving import asking

BROKEN = OWN_SHEET.replace("31.8 ± 0.05 mm", "31.8 psi").replace("longest: 150 mm", "longest: 15 mm")


@pytest.fixture(scope="module")
def own(example: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Guard]:
    with example_site(example, tmp_path_factory.mktemp("sheets")) as made:
        yield made


def records(site: Guard) -> Workshop:
    store: Workshop = site.app.state.shop.records
    return store


@pytest.mark.parametrize("name", shipped_sheets())
def test_every_shipped_sheet_can_be_read_and_edited(client: TestClient, name: str) -> None:
    page = client.get(f"/sheets/of/{name}")
    assert page.status_code == 200
    assert "Items and torques" in page.text
    assert "Nothing is wrong with it" in client.get(f"/sheets/edit/{name}").text


def test_a_value_says_its_number_tolerance_and_origin_in_the_units_asked_for(client: TestClient) -> None:
    row = re.search(r">bore</th>(.*?)</tr>", client.get("/sheets/of/specimen/t35").text)
    assert row is not None
    assert re.findall(r">([^<]+)</td>", row[1]) == ["31.8 mm", "tol. ± 0.03", "measured"]
    client.post("/display", data={"length": "in", "mark": ",", "back": "/"})
    row = re.search(r">bore</th>(.*?)</tr>", client.get("/sheets/of/specimen/t35").text)
    assert row is not None
    assert re.findall(r">([^<]+)</td>", row[1]) == ["1,25 in", "tol. ± 0,001", "measured"]


def test_typical_values_and_unknown_torques_stand_out(client: TestClient) -> None:
    page = client.get(f"/sheets/of/{OWN_KEY}").text
    assert 'class="words origin typical">typical' in page
    assert re.search(r'<td class="words find">find the value in the maker&#39;s manual', page)


def test_revisions_stand_with_what_they_changed(client: TestClient) -> None:
    page = client.get(f"/sheets/of/{OWN_KEY}").text
    assert f'href="/sheets/changes/{OWN_IDS[0]}/{OWN_IDS[1]}"' in page
    changes = client.get(f"/sheets/changes/{OWN_IDS[0]}/{OWN_IDS[1]}").text
    cells = re.findall(r'<th scope="row" class="words">([^<]+)</th><td[^>]*>([^<]+)</td><td[^>]*>([^<]+)</td>', changes)
    assert cells == [("revision", "1", "2"), ("spring › bore", "31.8 tol. ± 0.05 mm", "31.9 tol. ± 0.05 mm")]


@pytest.mark.parametrize(
    "address", ["/sheets/of/no/x", "/sheets/edit/no/x", "/sheets/revision/0", "/sheets/changes/0/1"]
)
def test_what_is_not_there_is_told(client: TestClient, address: str) -> None:
    assert client.get(address).status_code == 404


def test_a_check_names_lines_and_keeps_nothing(client: TestClient, site: Guard) -> None:
    before = len(list_revisions(records(site), OWN_KEY))
    page = unescape(client.post("/sheets/check", data={"key": OWN_KEY, "text": BROKEN}).text)
    for line in (8, 9):
        assert f'<a href="#line-{line}" data-line="{line}">' in page
        assert f'<span id="line-{line}" class="marked">' in page
    assert "31.8 psi" in page
    assert len(list_revisions(records(site), OWN_KEY)) == before


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"key": "specimen/q36", "text": BROKEN}, "2 to put right"),
        ({"key": "", "text": OWN_SHEET}, "key must be given"),
        ({"key": "../etc", "text": OWN_SHEET}, "small letters"),
        ({"key": OWN_KEY, "text": OWN_SHEET.replace("31.8", "30")}, "must be newer than 2"),
        ({"key": OWN_KEY, "text": OWN_SHEET, "by": ""}, "Write your name"),
        ({"key": "specimen/new", "text": "shape: [" * 50}, "must"),
        ({"key": "specimen/new", "text": "a: " + "x" * 1_100_000}, "larger than 1 MB"),
    ],
)
def test_what_cannot_be_kept_is_told_and_the_text_stays(own: Guard, form: dict[str, str], says: str) -> None:
    with asking(own) as tablet:
        answer = tablet.post("/sheets/save", data={"by": "Kim"} | form)
    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert "Traceback" not in answer.text
    if form.get("by") != "" and len(form["text"]) < 1000:
        assert form["text"] in unescape(answer.text)


def test_a_file_is_brought_in_checked_and_kept(own: Guard) -> None:
    text = OWN_SHEET.replace("Q36", "Q37")
    with asking(own) as tablet:
        page = tablet.post("/sheets/check", data={"key": "specimen/q37"}, files={"file": ("q37.yaml", text.encode())})
        assert text in unescape(page.text)
        answer = tablet.post(
            "/sheets/save", data={"key": "specimen/q37", "by": "Kim", "text": text.replace("\n", "\r\n")}
        )
        assert answer.status_code == 303
        assert "Saved." in tablet.get(answer.headers["location"]).text
        assert "specimen/q37" in tablet.get("/sheets").text
        bad = tablet.post("/sheets/check", data={"key": "x"}, files={"file": ("x.yaml", b"\xff\xfe")})
        assert "must be UTF-8 text" in unescape(bad.text)
    assert list_revisions(records(own), "specimen/q37")[0].text == text


def test_a_sheet_cannot_smuggle_markup_into_a_page(own: Guard) -> None:
    hostile = OWN_SHEET.replace("Q36", '"<script>alert(1)</script> & <b>"')
    with asking(own) as tablet:
        answer = tablet.post("/sheets/save", data={"key": "specimen/hostile", "by": "<i>Kim", "text": hostile})
        assert answer.status_code == 303
        for page in (answer.headers["location"], "/sheets", "/sheets/edit/specimen/hostile"):
            text = tablet.get(page).text
            assert "<script>alert" not in text
            assert "<i>Kim" not in text
            assert "&lt;script&gt;alert(1)" in text


def arrived(family: str, travel: str) -> dict[str, str]:
    """A unit as it comes in, with what a thin sheet needs to compute with."""
    untold = ("travel_spacers", "port_position", "volume_spacers")
    return {
        "by": "Kim",
        "customer.name": "R. Oduya",
        "bike.pick": "none",
        "unit.family": family,
        "as_found.travel": travel,
        "as_found.charge.pressure": "120",
        "as_found.charge.last_set": "5",
        "rider.mass": "80",
        "rider.gear": "4",
        "wish.travel": travel,
    } | {f"as_found.{name}.untold": "yes" for name in untold}


MEASURED = {
    "maker": "Specimen",
    "model": "Thin 36",
    "longest": "140",
    "travels": "100..140",
    "every": "10",
    "by": "Kim",
}


@pytest.mark.parametrize("base", BASE_KINDS)
def test_a_thin_sheet_carries_work_from_a_few_numbers(own: Guard, base: str) -> None:
    form = MEASURED | {"base": base, "model": f"Thin {base}", "stanchion": "36,0 ± 0,02"}
    if base != "air-fork/spacer-stack":
        form |= {"travels": "", "every": ""}  # asked of no unit whose travel is one number
    if base == "rear-air-shock":
        form |= {"longest": "55"}
    with asking(own) as tablet:
        tablet.post("/display", data={"mark": ",", "back": "/"})
        answer = tablet.post("/sheets/measure", data=form)
        assert answer.status_code == 303, re.findall(r"<p>[^<]*</p>|wrong\">[^<]*", answer.text)
        page = tablet.get(answer.headers["location"]).text
    assert "typical" in page
    _, sheet = read_revision(records(own), answer.headers["location"].split("/")[-1].partition("?")[0])
    assert sheet.chassis[0].longest.origin.value == "measured"
    torques = [work.torque for item in sheet.items for act, work in item.works if act is Act.ON and work.torque]
    assert any(torque.value is None for torque in torques)


def test_what_is_wrong_stands_beside_its_field_and_nothing_is_lost(own: Guard) -> None:
    with asking(own) as tablet:
        form = MEASURED | {"bore": "3 psi", "longest": "9 mm", "low_pressure": "40", "model": "<b>"}
        answer = tablet.post("/sheets/measure", data=form)
        page = unescape(answer.text)
        assert answer.status_code == 422
        assert 'name="bore" value="3 psi"' in page
        for name in ("bore", "longest"):
            assert re.search(rf'id="{name}-how"><span class="wrong">M', page), name
        again = tablet.post("/sheets/measure", data=MEASURED | {"model": "Q36"})
        assert "s described by a sheet already" in unescape(again.text)


LONGEST = {base: "55" if base == "rear-air-shock" else "150" for base in BASE_KINDS}


def complained(own: Guard, form: dict[str, str]) -> tuple[set[str], str]:
    """The fields that something is wrong with, and what is wrong in none; each is told once."""
    with asking(own) as tablet:
        answer = tablet.post("/sheets/measure", data={"maker": "Specimen", "model": "Blank", "by": "Kim"} | form)
    assert answer.status_code == 422, form
    page = unescape(answer.text)
    beside = re.findall(r'id="(\w+)-how"><span class="wrong">', page)
    assert len(set(re.findall(r'"wrong">([^<]*)<', page))) == len(beside)
    return set(beside), "".join(re.findall(r'<div class="fault".*?</div>', page, re.DOTALL))


@pytest.mark.parametrize("base", BASE_KINDS)
@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({}, {"longest"}),
        ({"longest": "15 psi"}, {"longest"}),
        ({"longest": "-4"}, {"longest"}),
        ({"longest": "9000"}, {"longest"}),
        ({"longest": "", "stanchion": "3 psi", "bore": "x"}, {"longest", "stanchion", "bore"}),
        ({"low_pressure": "50", "longest": "L"}, {"high_pressure"}),
        ({"low_pressure": "50", "high_pressure": "x", "longest": "L"}, {"high_pressure"}),
        ({"low_pressure": "300", "high_pressure": "200", "longest": "L"}, {"low_pressure"}),
    ],
)
def test_one_fault_is_told_once_at_the_field_that_is_wrong(
    own: Guard, base: str, typed: dict[str, str], beside: set[str]
) -> None:
    form = {name: LONGEST[base] if text == "L" else text for name, text in typed.items()}
    fields, elsewhere = complained(own, form | {"base": base})
    assert fields == beside - ({"stanchion"} if base == "rear-air-shock" else set())
    assert not elsewhere


@pytest.mark.parametrize(
    ("form", "beside"),
    [
        ({"base": "air-fork/spacer-stack", "longest": "150", "travels": "120..150"}, "every"),
        ({"base": "air-fork/spacer-stack", "longest": "150", "travels": "145, 150"}, "travels"),
        ({"base": "air-fork/shaft-per-travel", "longest": "150", "travels": "abc, 150"}, "travels"),
        ({"base": "air-fork/shaft-per-travel", "longest": "150", "travels": "120..150"}, "travels"),
        ({"base": "rear-air-shock", "longest": "75"}, "positive_length"),
    ],
)
def test_what_does_not_go_together_is_told_where_it_can_be_put_right(
    own: Guard, form: dict[str, str], beside: str
) -> None:
    fields, elsewhere = complained(own, form)
    assert (fields, elsewhere) == ({beside}, "")


def test_a_sheet_says_who_measured(own: Guard) -> None:
    with asking(own) as tablet:
        form = {"maker": "Specimen", "model": "Nobody", "longest": "150"}
        page = unescape(tablet.post("/sheets/measure", data=form).text)
    assert re.search(r'id="by-wrong">Must be given', page)


@pytest.mark.parametrize("base", BASE_KINDS)
def test_from_an_empty_workshop_to_choosing_for_a_unit_just_measured(tmp_path: Path, base: str) -> None:
    family = f"specimen/{base.replace('/', '-')}"
    form = {"base": base, "maker": "Specimen", "model": base, "longest": LONGEST[base]}
    with open_workshop(tmp_path / "empty.sqlite") as store:
        tablet = asking(create_app(Shop(store, now=lambda: NOW)))
        assert tablet.post("/sheets/measure", data=form | {"by": "Kim"}).status_code == 303
        typed = hidden_of(tablet.get("/check-in").text) | arrived(f"{family} standard", LONGEST[base])
        if base == "rear-air-shock":
            typed |= {"wish.travel": "", "task.air-spring": "yes"}
        answer = tablet.post("/check-in", data=typed)
        assert answer.status_code == 303, re.findall(r'class="wrong"[^<]*<?[^<]*', answer.text)
        page = unescape(tablet.get("/jobs/1001/plan").text)
    assert ">Decide" in page


def test_every_base_that_can_be_started_from_is_shipped() -> None:
    assert set(MEASURE_GROUPS) == set(BASE_KINDS) <= set(shipped_bases())


def test_findings_follow_what_is_typed_and_lead_to_their_line(open_page: Opener) -> None:
    page = open_page(f"/sheets/edit/{OWN_KEY}")
    expect(page.get_by_role("heading", name="Nothing is wrong with it")).to_be_visible()
    text = page.get_by_label("Sheet as text")
    text.fill(BROKEN)
    expect(page.get_by_role("heading", name="2 to put right")).to_be_visible()
    expect(text).to_be_focused()
    page.get_by_role("link", name="line 9").click()
    expect(text).to_be_focused()
    chosen = text.evaluate("e => e.value.slice(e.selectionStart, e.selectionEnd)")
    assert chosen == "spring: {bore: 31.8 psi}"


def test_without_script_a_button_checks(open_page: Opener) -> None:
    page = open_page(f"/sheets/edit/{OWN_KEY}", PHONE, script=False)
    page.get_by_label("Sheet as text").fill(BROKEN)
    page.get_by_role("button", name="Check").click()
    expect(page.get_by_role("heading", name="2 to put right")).to_be_visible()
    expect(page.get_by_label("Sheet as text")).to_have_value(BROKEN)
