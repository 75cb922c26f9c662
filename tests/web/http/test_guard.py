"""Who may ask, and what is answered to who may not."""

from __future__ import annotations

from typing import cast

import pytest
from starlette.requests import Request
from starlette.responses import Response
from starlette.testclient import TestClient

from sagwright.errors import Defect, InputErrors, MissingValue, NotAllowed, OutOfRange, SagwrightError
from sagwright.service.workshop.records import Workshop
from sagwright.web.app import create_app
from sagwright.web.http import error_pages
from sagwright.web.http.request import PageRequest, Shop, get, post

FORM = {"content-type": "application/x-www-form-urlencoded", "transfer-encoding": "chunked"}
NOBODY = Shop(cast(Workshop, None))
"""No records: what is refused at the door never asks for them."""
GOOD = {"mark": ",", "back": "/sheets"}


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "same-origin"},
        {"sec-fetch-site": "", "origin": "http://127.0.0.1"},
    ],
)
def test_a_form_from_here_is_taken(client: TestClient, headers: dict[str, str]) -> None:
    del client.headers["sec-fetch-site"]
    try:
        answer = client.post("/display", data=GOOD, headers={k: v for k, v in headers.items() if v})
    finally:
        client.headers["sec-fetch-site"] = "same-origin"
    assert (answer.status_code, answer.headers["location"]) == (303, "/sheets")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:81"},
        {"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1"},
    ],
)
def test_a_form_from_elsewhere_is_not(site: object, headers: dict[str, str]) -> None:
    with TestClient(create_app(NOBODY), base_url="http://127.0.0.1", follow_redirects=False) as foreign:
        answer = foreign.post("/display", data=GOOD, headers=headers)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
    assert "page of this server" in answer.text


@pytest.mark.parametrize("host", ["workshop.example", "10.0.0.7:8137", "", "[::1", "127.0.0.1.example"])
def test_another_name_is_not_answered(client: TestClient, host: str) -> None:
    answer = client.get("/sheets", headers={"host": host})
    assert answer.status_code == 403
    assert "its own machine" in answer.text
    assert "content-security-policy" in answer.headers


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:8137", "[::1]:8137", "LOCALHOST"])
def test_every_name_of_this_machine_is(client: TestClient, host: str) -> None:
    assert client.get("/sheets", headers={"host": host}).status_code == 200


def raising(error: Exception) -> TestClient:
    """A server on which every page fails."""

    def fail(_asked: PageRequest) -> Response:
        raise error

    app = create_app(NOBODY)
    app.app.router.routes[:] = [get("/", fail), post("/sent", fail, most_bytes=100)]
    return TestClient(
        app,
        base_url="http://localhost",
        headers={"sec-fetch-site": "same-origin"},
        raise_server_exceptions=False,
    )


@pytest.mark.parametrize(
    ("error", "status", "says"),
    [
        (OutOfRange("must be less", field="travel", value="9 m", remedy="Write less."), 422, "travel must be less"),
        (InputErrors((MissingValue("must be given", field="a"), MissingValue("must be", field="b"))), 422, "a must be"),
        (NotAllowed("Not you."), 403, "Not you."),
        (Defect("the judge refused it"), 500, "A defect in Sagwright"),
        (ZeroDivisionError("secret place"), 500, "A defect in Sagwright"),
    ],
)
def test_each_error_has_its_status_and_its_sentence(error: Exception, status: int, says: str) -> None:
    answer = raising(error).get("/")
    assert answer.status_code == status
    assert says in answer.text
    assert "Traceback" not in answer.text
    assert "secret place" not in answer.text
    assert "default-src 'self'" in answer.headers["content-security-policy"]


def test_what_is_too_long_is_refused_whatever_it_says_of_its_length() -> None:
    shop = raising(SagwrightError("never reached"))
    said = shop.post("/sent", data={"a": "x" * 200})
    unsaid = shop.post("/sent", content=iter([b"a=", b"x" * 200]), headers=FORM)
    for answer in (said, unsaid):
        assert answer.status_code == 413
        assert "larger than" in answer.text


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/nowhere", 404), ("GET", "/sheets/", 404), ("POST", "/sheets", 405), ("GET", "/assets/x/y", 404)],
)
def test_the_frameworks_own_refusals_are_pages_too(client: TestClient, method: str, path: str, status: int) -> None:
    answer = client.request(method, path)
    assert answer.status_code == status
    assert error_pages.HEADINGS[status] in answer.text


def test_the_http_layer_escapes_what_it_repeats(client: TestClient) -> None:
    answer = client.get("/display", params={"back": '"><script>alert(1)</script>'})
    assert "<script>alert" not in answer.text


def test_only_addresses_of_this_server_are_gone_back_to(client: TestClient) -> None:
    for back in ("//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "", "/a\nb"):
        answer = client.post("/display", data={"back": back})
        assert answer.headers["location"] == "/"


def test_an_unforeseen_request_is_a_defect_page_and_not_a_traceback() -> None:
    request = Request({"type": "http", "method": "GET", "path": "/", "headers": []})
    assert b"Traceback" not in error_pages.http_fault(request, ValueError("x")).body
