"""From a request to a view and back, with what every view stands on: the workshop's records, the clock and new ids.

A view is a function of what was asked, and runs beside the event loop.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final
from uuid import uuid4

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route
from starlette.types import Message, Receive

from sagwright.domain.records.entry import Submission
from sagwright.errors import InputError, InputErrors, MissingValue, RecordError, StoreFailed
from sagwright.service.workshop.records import Workshop
from sagwright.units import UnitChoice
from sagwright.web.http.form import FieldErrors, Form, Upload, field_errors_of
from sagwright.web.http.page import Cell, Page, PageFrame, StageTab, Tab, assets_address, respond
from sagwright.web.http.preferences import BY, COOKIE, YEARS, choice_of, cookie_of_name, name_of, one_line

LONGEST_WAIT: Final = 7 * 86_400  # s that something waits on a device
MOST_BYTES: Final = 1_500_000  # of a form; a sheet may have 1 MB, and sending it makes it longer
MOST_FIELDS: Final = 2_000
MOST_FILES: Final = 300  # fields for files, most of them empty: one for each thing that is looked at
ID: Final = re.compile(r"[A-Za-z0-9-]{8,64}", re.ASCII)


def _now() -> datetime:
    return datetime.now(UTC)


def _new_id() -> str:
    return uuid4().hex


@dataclass(frozen=True, slots=True)
class Shop:
    """The workshop's records, the clock, and where ids come from; all three are arguments of what is done."""

    records: Workshop
    now: Callable[[], datetime] = _now
    new_id: Callable[[], str] = _new_id


@dataclass(frozen=True, slots=True)
class PageRequest:
    """What a view is asked.

    Attributes
    ----------
    shop : Shop
    path : mapping of str to str
        The parts of the address that have a name.
    query, form : Form
        What follows "?" and what was sent; the form is empty unless something was sent.
    by : str
        Who is at this browser, as they last said; empty while nobody did.
    choice : UnitChoice
        Units and decimal mark of this browser.
    here : str
        Path and query.
    """

    shop: Shop
    path: Mapping[str, str]
    query: Form
    form: Form
    by: str
    choice: UnitChoice
    here: str

    @property
    def id(self) -> str:
        """The id that a form's submission carries, made where it was shown; a new one where it carries none."""
        sent = self.form.text("submission")
        return sent if ID.fullmatch(sent) else self.shop.new_id()

    @property
    def expected(self) -> int | None:
        """How many entries a form's job had where the form was shown; None where it does not say."""
        sent = self.form.text("expected")
        return int(sent) if sent.isascii() and sent.isdecimal() else None

    def submission(self, *, expected: int | None = None) -> Submission:
        """What a form hands in besides what it says: under the id that was made with it, so that twice is once.

        Raises
        ------
        MissingValue
            If it does not say who.
        """
        if not self.by:
            raise MissingValue("must be given", field="by", remedy="Write your name, so that the record says who.")
        return Submission(self.id, self.by, self.shop.now() - self._age, expected)

    @property
    def _age(self) -> timedelta:
        """How long what is sent waited on its device, as that says; none where it did not wait."""
        age = self.form.text("age")
        return timedelta(seconds=min(int(age), LONGEST_WAIT)) if age.isascii() and age.isdecimal() else timedelta()

    def frame(
        self,
        title: str,
        section: str = "",
        *,
        block: tuple[Cell, ...] = (),
        stages: tuple[StageTab, ...] = (),
        tabs: tuple[Tab, ...] = (),
        job: str = "",
    ) -> PageFrame:
        """What stands around the page that answers."""
        return PageFrame(
            title=title,
            section=section,
            choice=self.choice,
            assets=assets_address(),
            here=self.here,
            block=block,
            stages=stages,
            notice=self.query.text("done"),
            by=self.by,
            tabs=tabs,
            job=job,
        )


PageView = Callable[[PageRequest], Response]
Endpoint = Callable[[Request], Awaitable[Response]]


def get(path: str, view: PageView) -> Route:
    """A page that is looked at."""
    return Route(path, _endpoint(view, 0), methods=["GET"], name=_name(view))


def post(path: str, view: PageView, *, most_bytes: int = MOST_BYTES) -> Route:
    """A form that acts and then leads to a page."""
    return Route(path, _endpoint(view, most_bytes), methods=["POST"], name=_name(view))


def to(address: str) -> Response:
    """After an act: go and look at a page."""
    return RedirectResponse(address, 303)


def acted(asked: PageRequest, act: Callable[[], str | FieldErrors], again: Callable[[FieldErrors], Page]) -> Response:
    """Where an act leads; or, where it finds something wrong or is refused, its page once more with what is wrong: 422
    for what was sent, 409 for what somebody else did in the meantime."""
    try:
        done = act()
        return to(done) if isinstance(done, str) else respond(again(done), status=422)
    except StoreFailed:
        raise
    except (InputError, InputErrors) as error:
        return respond(again(field_errors_of(error, asked.choice)), status=422)
    except RecordError as error:
        return respond(again({"": str(error)}), status=409)


def remember(response: Response, name: str, value: str) -> None:
    """Keep something in this browser, out of reach of scripts and of other sites."""
    response.set_cookie(name, value, max_age=YEARS, httponly=True, samesite="strict")


def _name(view: PageView) -> str:
    return f"{view.__module__.rpartition('.')[2]}.{getattr(view, '__name__', '')}"


def _endpoint(view: PageView, most_bytes: int) -> Endpoint:
    async def answer(request: Request) -> Response:
        asked = await _asked(request, most_bytes)
        response = await run_in_threadpool(view, asked)
        if asked.by and asked.form.has(BY):
            remember(response, BY, cookie_of_name(asked.by))
        return response

    return answer


async def _asked(request: Request, most_bytes: int) -> PageRequest:
    query = f"?{request.url.query}" if request.url.query else ""
    form = await _sent(request, most_bytes) if request.method == "POST" else Form()
    return PageRequest(
        shop=request.app.state.shop,
        path=dict(request.path_params),
        query=Form(tuple(request.query_params.multi_items())),
        form=form,
        by=one_line(form.text(BY)) or name_of(request.cookies.get(BY, "")),
        choice=choice_of(request.cookies.get(COOKIE, "")),
        here=request.url.path + query if request.method == "GET" else "/",
    )


async def _sent(request: Request, most_bytes: int) -> Form:
    """The form, as long as it is not longer than it may be."""
    declared = request.headers.get("content-length", "0")
    if declared.isdigit() and int(declared) > most_bytes:
        raise _too_long(most_bytes)
    limited = Request(request.scope, _counted(request.receive, most_bytes))
    pairs, uploads = [], []
    async with limited.form(max_fields=MOST_FIELDS, max_files=MOST_FILES, max_part_size=most_bytes) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                uploads.append(Upload(name, value.filename or "", await value.read()))
            else:
                pairs.append((name, value))
    return Form(tuple(pairs), tuple(uploads))


def _counted(receive: Receive, most_bytes: int) -> Receive:
    """The same stream, which ends with a refusal where it grows too long, whatever length was declared."""
    seen = 0

    async def receiving() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most_bytes:
            raise _too_long(most_bytes)
        return message

    return receiving


def _too_long(most_bytes: int) -> HTTPException:
    return HTTPException(413, f"What was sent is larger than {most_bytes / 1e6:g} MB. Nothing of it was kept.")
