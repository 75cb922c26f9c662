"""Checking in: nothing typed is lost, nothing is recorded that nobody read, and twice is once."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image
from starlette.testclient import TestClient

from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, list_drafts, read_draft
from sagwright.units import UnitChoice
from sagwright.web.http.preferences import COOKIE, cookie_of
from tests.support.web.check_in import TYPED, form_of, taken
from tests.support.web.one_job import JOB, NASTY, hidden_of


def photo(colour: str) -> tuple[str, bytes, str]:
    made = io.BytesIO()
    Image.new("RGB", (60, 40), colour).save(made, "PNG")
    return ("gauge.png", made.getvalue(), "image/png")


def test_it_works(tablet: TestClient, records: Workshop) -> None:
    job = taken(tablet, records, TYPED)
    state = job.view.state
    facts = dict(state.facts)
    assert (job.customer.name, job.unit.serial, state.due) == ("R. Oduya", "0417-B", "2026-03-09")
    assert state.stage is Stage.PLAN
    assert facts["as_found.travel"] == "150 ± 2 mm"
    assert facts["as_found.charge.pressure"] == "78 psi"
    assert facts["as_found.charge.last_set"] == "5 days"
    assert facts["as_found.travel_spacers"] == "unknown until open"
    assert facts["wish.aim.sag"] == "20 %"
    assert state.tasks == ("wipers",)
    assert state.symptoms == "Dives under braking.\nSinks overnight."
    assert [(one.within, bool(one.limit)) for one in state.condition] == [(False, True)]


def test_readings_start_empty(tablet: TestClient) -> None:
    page = tablet.get("/check-in").text
    found = page.partition('id="found"')[2].partition('id="condition"')[0]
    assert set(re.findall(r'<input name="[^"]+" id="[^"]+" value="([^"]*)"', found)) == {""}
    assert all('value=""' in tag for tag in re.findall(r"<input[^>]* checked>", found))


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ({"customer.name": ""}, "f-customer-name"),
        ({"unit.family": ""}, "f-unit-family"),
        ({"as_found.charge.pressure": "78 furlongs"}, "f-as-found-charge-pressure"),
        ({"as_found.travel": "9 m"}, "f-as-found-travel"),
        ({"as_found.volume_spacers": "2"}, "f-as-found-volume-spacers"),
        ({"rider.mass": "heavy"}, "f-rider-mass"),
        ({"wish.aim.sag": "90"}, "f-wish-aim-sag"),
        ({"due": "soon"}, "f-due"),
        ({"bike.pick": "new"}, "f-bicycle-name"),
        ({"bike.pick": "new", "bicycle.name": "x", "bicycle.document": "shape: bike/9"}, "f-bicycle-document"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_everything_typed_is_kept(
    tablet: TestClient, records: Workshop, typed: dict[str, str], key: str
) -> None:
    answer = tablet.post("/check-in", data=form_of(tablet) | TYPED | typed)
    assert answer.status_code == 422
    assert f'href="#{key}"' in answer.text
    assert f'id="{key}-wrong"' in answer.text
    assert answer.text.count("autofocus") == 1
    assert "Sinks overnight." in answer.text
    assert 'value="150 ± 2"' in answer.text or "as_found.travel" in typed
    with pytest.raises(Exception, match="no job"):
        open_job_numbered(records, JOB + 1)


def test_twice_is_once_and_back_leads_to_the_job(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet) | TYPED
    first, second = (tablet.post("/check-in", data=form) for _ in range(2))
    assert first.headers["location"] == second.headers["location"]
    with pytest.raises(Exception, match="no job"):
        open_job_numbered(records, JOB + 2)
    back = tablet.get(f"/check-in?draft={form['submission']}")
    assert back.headers["location"] == f"/jobs/{JOB + 1}"


def test_the_same_form_with_other_words_is_told_and_kept(tablet: TestClient) -> None:
    form = form_of(tablet) | TYPED
    tablet.post("/check-in", data=form)
    answer = tablet.post("/check-in", data=form | {"symptoms": "typed after going back"})
    assert answer.status_code == 409
    assert "typed after going back" in answer.text
    assert hidden_of(answer.text)["submission"] != form["submission"]


def test_half_a_form_is_kept_and_offered_again(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet) | {"by": "Kim", "customer.name": "R. Oduya", "as_found.charge.pressure": "78"}
    kept = tablet.post("/check-in/save", data=form)
    assert kept.headers["location"] == f"/check-in?draft={form['submission']}"
    assert "R. Oduya" in tablet.get("/check-in").text
    page = tablet.get(kept.headers["location"]).text
    assert 'value="R. Oduya"' in page
    assert 'value="78"' in page
    assert hidden_of(page)["submission"] == form["submission"]
    taken(tablet, records, TYPED | {"submission": form["submission"]})
    assert list_drafts(records, "check in") == ()


def test_a_half_form_is_thrown_away_only_when_asked(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet) | {"by": "Kim", "customer.name": "R. Oduya"}
    tablet.post("/check-in/save", data=form)
    tablet.post("/check-in/forget", data={"draft": form["submission"]})
    assert read_draft(records, form["submission"]) is None


def test_units_may_be_switched_in_the_middle_without_drift(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet) | TYPED
    tablet.post("/check-in/save", data=form)
    tablet.cookies.set(COOKIE, cookie_of(UnitChoice(pressure="bar", length="in", decimal=",")))
    page = tablet.get(f"/check-in?draft={form['submission']}").text
    assert "pressure, psi" in page
    job = taken(tablet, records, TYPED | hidden_of(page))
    assert job.view.state.fact("as_found.charge.pressure") == "78 psi"
    shown = tablet.get(f"/jobs/{job.view.card.number}").text
    assert "78 psi" in shown
    assert "5,38 bar" in shown


def test_a_comma_is_read_where_a_comma_is_shown(tablet: TestClient, records: Workshop) -> None:
    tablet.cookies.set(COOKIE, cookie_of(UnitChoice(pressure="bar", decimal=",")))
    job = taken(tablet, records, TYPED | {"as_found.charge.pressure": "5,4"})
    assert job.view.state.fact("as_found.charge.pressure") == "5.4 bar"
    wrong = tablet.post("/check-in", data=form_of(tablet) | TYPED | {"as_found.charge.pressure": "5.4"})
    assert wrong.status_code == 422
    assert "Write 5,4" in wrong.text


def test_photos_survive_what_is_wrong_and_are_kept_once(tablet: TestClient, records: Workshop) -> None:
    form = form_of(tablet)
    files = {"photo.coating": photo("red"), "photo.general": photo("blue")}
    wrong = tablet.post("/check-in", data=form | TYPED | {"customer.name": ""}, files=files)
    assert wrong.status_code == 422
    kept = {name: "yes" for name in _names(wrong.text) if name.startswith("kept.")}
    assert len(kept) == 2
    again = tablet.post("/check-in", data=form | TYPED | kept, files=files)
    assert again.status_code == 303
    state = open_job_numbered(records, JOB + 1).view.state
    assert len(state.photos) == len(state.condition[0].photos) == 1
    picture = tablet.get(f"/photos/{state.photos[0]}")
    assert picture.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(picture.content)).size == (60, 40)


def _names(page: str) -> list[str]:
    return [part.partition('"')[0] for part in page.split('name="')[1:]]


def test_what_is_no_picture_is_told_beside_nothing_lost(tablet: TestClient) -> None:
    files = {"photo.general": ("x.png", b"no picture", "image/png")}
    answer = tablet.post("/check-in", data=form_of(tablet) | TYPED, files=files)
    assert answer.status_code == 422
    assert "Must be a picture that can be read" in answer.text
    assert "Sinks overnight." in answer.text


def test_customer_bike_and_unit_are_found_again(tablet: TestClient, records: Workshop) -> None:
    first = taken(tablet, records, TYPED | {"bike.pick": "new", "bicycle.name": "the green one"})
    form = form_of(tablet) | {"by": "Kim", "customer.name": "oduya", "unit.serial": "0417-b"}
    tablet.post("/check-in/save", data=form | {"customer.pick": first.customer.id})
    page = tablet.get(f"/check-in?draft={form['submission']}").text
    assert first.customer.id in page
    assert "the green one" in page
    assert first.unit.id in page
    picked = {
        "customer.pick": first.customer.id,
        "bike.pick": first.view.state.bicycle or "",
        "unit.pick": first.unit.id,
    }
    again = taken(tablet, records, TYPED | picked)
    assert (again.customer, again.unit.id, again.bicycle) == (first.customer, first.unit.id, first.bicycle)


def test_a_bike_that_is_named_is_a_bike(tablet: TestClient, records: Workshop) -> None:
    bicycle = taken(tablet, records, TYPED | {"bicycle.name": "the green one"}).bicycle
    assert bicycle is not None
    assert bicycle.name == "the green one"


def test_several_units_come_in_one_visit(tablet: TestClient, records: Workshop) -> None:
    first = taken(tablet, records, TYPED)
    second = form_of(tablet, f"/check-in?with={first.view.card.number}")
    answer = tablet.post(
        "/check-in", data=second | TYPED | {"customer.pick": first.customer.id, "unit.serial": "shock"}
    )
    assert answer.status_code == 303
    job = open_job_numbered(records, first.view.card.number + 1)
    assert job.visit.id == first.visit.id
    assert [card.number for card in job.same_visit] == [first.view.card.number]


@pytest.mark.parametrize("name", NASTY)
def test_any_name_comes_back_as_it_was_typed(tablet: TestClient, records: Workshop, name: str) -> None:
    typed = {"customer.name": name, "symptoms": name}
    form = form_of(tablet) | TYPED | typed
    tablet.post("/check-in/save", data=form)
    assert "<script>alert" not in tablet.get(f"/check-in?draft={form['submission']}").text
    job = taken(tablet, records, TYPED | typed)
    assert (job.customer.name, job.view.state.symptoms) == (name, name)


@pytest.mark.parametrize(
    ("family", "read", "asked"),
    [
        ("specimen/c38 standard", {"as_found.top_out_spacers": "0", "as_found.coil": "medium"}, "turns of preload"),
        ("specimen/p34 standard", {"as_found.air_shaft": "130"}, "air shaft, by its travel"),
    ],
)
def test_each_family_is_asked_what_it_has(
    tablet: TestClient, records: Workshop, family: str, read: dict[str, str], asked: str
) -> None:
    form = form_of(tablet) | {"by": "Kim", "unit.family": family}
    page = tablet.get(tablet.post("/check-in/save", data=form).headers["location"]).text
    assert asked in page
    assert "port position" not in page
    facts = dict(taken(tablet, records, TYPED | {"unit.family": family} | read).view.state.facts)
    assert all(facts[path].startswith(text) for path, text in read.items())
