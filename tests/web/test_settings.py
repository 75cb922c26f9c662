"""Units and decimal mark: chosen once, kept by the browser, never trusted."""

from __future__ import annotations

from urllib.parse import quote

import pytest
from starlette.testclient import TestClient

from sagwright.units import UnitChoice
from sagwright.web.http.preferences import COOKIE, choice_of, cookie_of
from tests.support.web.browser import PHONE, Opener


def test_it_works(client: TestClient) -> None:
    answer = client.post("/display", data={"pressure": "bar", "length": "in", "mark": ",", "back": "/sheets"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/sheets")
    page = client.get("/sheets").text
    assert "bar · in · N·m · 1,5" in page
    assert "5,91 in" in page  # 150 mm


@pytest.mark.parametrize(
    "choice", [UnitChoice(), UnitChoice(pressure="kPa", torque="lbf·in", decimal=","), UnitChoice(mass="lb")]
)
def test_what_is_kept_comes_back(choice: UnitChoice) -> None:
    assert choice_of(cookie_of(choice)) == choice


@pytest.mark.parametrize(
    "cookie", ["", ";", "psi", "furlong,psi;;", quote("<script>"), "%ff%00", "psi,bar,kPa;.", "," * 4000, "Pa,m;."]
)
def test_a_cookie_is_never_trusted(client: TestClient, cookie: str) -> None:
    assert choice_of(cookie).pressure in {"psi", "bar", "kPa"}
    assert choice_of(cookie).decimal in {".", ","}
    client.cookies.set(COOKIE, cookie.replace(";", "%3B"))
    assert client.get("/sheets").status_code == 200


@pytest.mark.parametrize("sent", [{"pressure": "atm"}, {"mark": ";"}])
def test_only_what_is_offered_is_taken(client: TestClient, sent: dict[str, str]) -> None:
    answer = client.post("/display", data=sent)
    assert answer.status_code == 422
    assert "set-cookie" not in answer.headers


def test_one_touch_without_script(open_page: Opener) -> None:
    page = open_page("/sheets", PHONE, script=False)
    page.get_by_role("link", name="shown in").click()
    page.get_by_label("kPa").check()
    page.get_by_label("1,5").check()
    page.get_by_role("button", name="Save").click()
    page.get_by_role("heading", name="Sheets", level=1).wait_for()
    assert page.get_by_text("kPa · mm · N·m · 1,5").is_visible()
