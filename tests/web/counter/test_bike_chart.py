"""A bike's geometry typed as a form: at checking in, and later where a job is settled."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from sagwright.formats.bike.chart import CHARTS, chart_faults, chart_of, chart_text
from sagwright.formats.bike.load import load_bike_text
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop
from tests.support.web.check_in import TYPED, taken
from tests.support.web.example_workshop import EXAMPLES
from tests.support.web.one_job import JOB, hidden_of

TRAIL = (EXAMPLES / "bikes" / "trail.yaml").read_text("utf-8")
CHART = {
    "wheels.front.radius": "372 ± 2",
    "wheels.rear.tyre": "61-622",
    "geometry.head_angle": "64,8",
    "geometry.chainstay": "435",
    "geometry.bb_drop": "30",
    "geometry.wheelbase": "1237",
    "fork.axle_to_crown": "541",
    "fork.offset": "44",
    "fork.travel": "150",
    "mass": "14.2 kg",
}
TYPED_CHART = {f"chart.{path}": text for path, text in CHART.items()} | {"bicycle.name": "trail bike"}


def test_a_bike_s_text_keeps_what_a_chart_does_not_show() -> None:
    values = chart_of(TRAIL)
    assert load_bike_text(chart_text("Specimen trail bike, L", values, TRAIL), "a") == load_bike_text(TRAIL, "a")
    shorter = load_bike_text(chart_text("b", values | {"geometry.chainstay": "430 mm"}, TRAIL), "a")
    assert shorter.geometry.chainstay.si == pytest.approx(0.430)
    assert shorter.clearance == load_bike_text(TRAIL, "a").clearance


def test_every_value_of_a_chart_is_one_of_the_format() -> None:
    faults = chart_faults(chart_text("b", {chart.path: "x" for chart in CHARTS}), "b")
    assert set(faults) == {chart.path for chart in CHARTS}
    assert not any("nothing reads" in str(one) for one in faults.values())


def test_what_is_typed_at_the_counter_is_the_bike(tablet: TestClient, records: Workshop) -> None:
    typed = TYPED | TYPED_CHART | {"chart.geometry.head_angle": "64.8", "bike.pick": "new"}
    job = taken(tablet, records, typed)
    assert job.bicycle is not None
    bike = load_bike_text(job.bicycle.document, "b")
    assert bike.geometry.axle_to_crown.si == pytest.approx(0.541)
    assert bike.front.radius is not None
    assert bike.front.radius.si == pytest.approx(0.372)


def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(tablet: TestClient) -> None:
    typed = TYPED | TYPED_CHART | {"chart.geometry.bb_drop": "", "chart.fork.travel": "9 psi"}
    form = hidden_of(tablet.get("/check-in").text) | typed
    answer = tablet.post("/check-in", data=form)
    page = unescape(answer.text)
    assert answer.status_code == 422
    wrong = set(re.findall(r'id="f-(chart-[\w-]+)-wrong"', page))
    assert wrong == {"chart-geometry-head-angle", "chart-geometry-bb-drop", "chart-fork-travel"}
    for text in ("64,8", "9 psi", "372 ± 2"):
        assert f'value="{text}"' in page
    assert re.search(r'<details class="chart" open>', page)
    assert "Usually 410 to 465 mm" in page


def test_a_whole_geometry_does_not_win_silently_over_an_outline(tablet: TestClient) -> None:
    both = TYPED | TYPED_CHART | {"chart.geometry.head_angle": "64.8", "bike.pick": "new", "bike.wheelbase": "1250 mm"}
    answer = tablet.post("/check-in", data=hidden_of(tablet.get("/check-in").text) | both)
    page = unescape(answer.text)
    assert answer.status_code == 422
    assert 'id="f-bike-wheelbase-wrong"' in page
    assert "Cannot stand beside a whole geometry. Keep one of the two." in page
    assert 'value="1250 mm"' in page
    assert 'value="64.8"' in page


def test_geometry_without_a_name_asks_for_it(tablet: TestClient) -> None:
    form = hidden_of(tablet.get("/check-in").text) | TYPED | TYPED_CHART | {"bicycle.name": ""}
    answer = tablet.post("/check-in", data=form | {"chart.geometry.head_angle": "64.8"})
    assert answer.status_code == 422
    assert 'id="f-bicycle-name-wrong"' in answer.text


def test_it_can_be_put_in_and_changed_later(tablet: TestClient, records: Workshop) -> None:
    here = f"/jobs/{JOB}/check-in"
    first = settled(tablet, here, TYPED_CHART | {"chart.geometry.head_angle": "64.8"})
    assert first == 303
    bike = open_job_numbered(records, JOB).bicycle
    assert bike is not None
    page = unescape(tablet.get(here).text)
    assert 'name="chart.geometry.chainstay" id="f-chart-geometry-chainstay" value="435 mm"' in page
    known = dict(re.findall(r'name="((?:chart|bicycle)\.[^"]+)"[^>]*value="([^"]+)"', page))
    settled(tablet, here, known | {"symptoms": "Knocks."})
    assert open_job_numbered(records, JOB).bicycle == bike  # nothing about the bike was changed
    assert settled(tablet, here, known | {"chart.geometry.chainstay": "430"}) == 303
    after = open_job_numbered(records, JOB).bicycle
    assert after is not None
    assert load_bike_text(after.document, "b").geometry.chainstay.si == pytest.approx(0.430)
    assert settled(tablet, here, known | {"bicycle.document": TRAIL}) == 422
    pasted = known | {"chart.geometry.chainstay": "430 mm", "bicycle.document": TRAIL}
    assert settled(tablet, here, pasted) == 303
    last = open_job_numbered(records, JOB).bicycle
    assert last is not None
    assert last.document == TRAIL.strip()


def settled(tablet: TestClient, here: str, typed: dict[str, str]) -> int:
    return tablet.post(here, data=hidden_of(tablet.get(here).text) | {"by": "Kim"} | typed).status_code
