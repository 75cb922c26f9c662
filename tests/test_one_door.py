"""What may not be recorded is refused at every face, with the same sentence: by a call, a page and a command.

Histories are drawn: how far the work is, whether it waits or rested, and what somebody then tries.
"""

from __future__ import annotations

import html
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from io import StringIO
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from sagwright.cli.commands.record_options import now
from sagwright.cli.main import run
from sagwright.domain.diagnosis import BACK, NEEDED
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.evidence import BAD
from sagwright.domain.records.payloads import (
    FinalChecked,
    HandedOver,
    Noted,
    Payload,
    Prepared,
    PutOnHold,
    Resumed,
    Started,
    StepDone,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.domain.step import Step
from sagwright.errors import InputError, InputErrors, RecordError
from sagwright.formats.demo import demo_bike
from sagwright.formats.records.readings import readings_from_text
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.intake import NewBicycle
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.workshops import (
    ARRIVAL,
    MORNING,
    Person,
    checked,
    decided,
    done_well,
    on_the_bench,
    prepared,
    proven,
    worked_through,
)

NUMBER = 1001
STAGES = ("plan", "prepare", "begun", "worked", "to check", "to hand over", "closed")


@dataclass(frozen=True)
class Attempt:
    """The same thing tried at three faces: what an entry would say, the form of a page, and a command."""

    payload: Payload
    page: str
    fields: Mapping[str, str]
    words: tuple[str, ...]


@dataclass(frozen=True)
class History:
    """How far a job is: its stage, how many steps are done, whether it waits, and how long nobody touched it."""

    stage: str
    done: int
    waits: bool
    rested: bool


@cache
def _workshop(stage: str, done: int) -> tuple[bytes, datetime]:
    """The file of a workshop with one job, and when its last entry was made."""
    kim = Person("Kim")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "workshop.sqlite"
        with open_workshop(path) as store:
            _bring_to(store, kim, stage, done)
        return path.read_bytes(), kim.start + timedelta(minutes=kim.said)


def _bring_to(store: Workshop, kim: Person, stage: str, done: int) -> None:
    arrival = replace(ARRIVAL, bicycle=NewBicycle("Trail bike", demo_bike()))
    if stage == "plan":
        actions.check_in(store, arrival, kim())
        return
    if stage == "prepare":
        job = actions.check_in(store, arrival, kim()).card.id
        decided(store, job, kim)
        prepared(store, job, kim)
        return
    view = on_the_bench(store, kim, arrival)
    if stage == "begun":
        return
    view = worked_through(store, view, kim, steps=done if stage == "worked" else None)
    if stage in ("to hand over", "closed"):
        proven(store, view.card.id, kim)
    if stage == "closed":
        actions.record(store, view.card.id, kim(), what=HandedOver(accepted=True, how="the customer, in person"))


@contextmanager
def _at(history: History, folder: Path) -> Iterator[tuple[Path, datetime]]:
    """A copy of such a workshop, and the time at which somebody comes to it."""
    data, last = _workshop(history.stage, history.done)
    path = folder / "workshop.sqlite"
    path.write_bytes(data)
    moment = last + (timedelta(hours=20) if history.rested else timedelta(minutes=1))
    if history.waits:
        with open_workshop(path) as store:
            job = open_job_numbered(store, NUMBER).view.card.id
            said = Submission("waits", "Kim", last)
            actions.record(store, job, said, what=PutOnHold(HoldReason.CUSTOMER, "new bushings"))
    yield path, moment


def _sentence(error: InputError | InputErrors | RecordError) -> str:
    """What an error says, without where it stands."""
    if isinstance(error, InputErrors):
        return _sentence(error.errors[0])
    return error.rule if isinstance(error, InputError) else str(error).split(". ")[0]


def _refused_by_the_call(path: Path, at: datetime, attempt: Attempt) -> str:
    with open_workshop(path) as store:
        job = open_job_numbered(store, NUMBER).view.card.id
        try:
            actions.record(store, job, Submission("attempt", "Kim", at), what=attempt.payload)
        except (InputError, InputErrors, RecordError) as error:
            return _sentence(error)
    return ""


def _page_after(path: Path, at: datetime, attempt: Attempt) -> tuple[str, int]:
    """What a page answers to the form, and how many entries the job has then."""
    with open_workshop(path) as store:
        site = create_app(Shop(store, now=lambda: at))
        headers = {"sec-fetch-site": "same-origin"}
        with TestClient(site, base_url="http://127.0.0.1", headers=headers) as client:
            client.cookies.set("by", "Kim")
            sent = {"by": "Kim", "submission": "attempt", **attempt.fields}
            answer = client.post(f"/jobs/{NUMBER}/{attempt.page}", data=sent)
        return html.unescape(answer.text), len(open_job_numbered(store, NUMBER).view.entries)


def _terminal_after(path: Path, at: datetime, attempt: Attempt) -> tuple[str, int]:
    """What the command prints, and how many entries the job has then."""
    name, *rest = attempt.words
    words = ["job", name, str(NUMBER), *rest, "--workshop", str(path), "--by", "Kim", "--id", "attempt"]
    out = StringIO()

    class Clock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return at

    with patch.dict(now.__globals__, {"datetime": Clock}), redirect_stdout(out), redirect_stderr(out):
        run(words)
    with open_workshop(path) as store:
        return out.getvalue(), len(open_job_numbered(store, NUMBER).view.entries)


def _flat(text: str) -> str:
    """Text without line breaks, quotes around values and capitals, as sentences are compared."""
    return re.sub(r"[\s“”\"']+", " ", re.sub(r"<[^>]+>", " ", text)).lower()


# What somebody tries


def _typed(step: Step, change: str) -> dict[str, str]:
    """What is typed for a step as it should be, or with something wrong."""
    read = {one.key: one.as_typed for one in done_well(step).readings}
    if change == "nothing read":
        return {}
    numbers = [one for one in step.records if one.quantity is not None and one.high is not None]
    if change == "outside" and numbers:
        read[numbers[0].key] = "9999"
    if change == "no":
        read |= {one.key: "no" for one in step.records if one.quantity is None and not one.in_words}
    for one in step.records:
        if one.quantity is not None:
            read[one.key] = read[one.key].split()[0]
    return read


def _step_attempt(step: Step, change: str) -> Attempt:
    read = _typed(step, change)
    asked = {one.key: one for one in step.records}
    unit = {"pressure": "psi", "length": "mm", "torque": "N·m", "volume": "ml", "temperature": "°C", "force": "N"}
    typed = {
        key: f"{text} {unit.get(str(asked[key].quantity), '')}".strip()
        if key in asked and asked[key].quantity
        else text
        for key, text in read.items()
    }
    readings = readings_from_text([f"{key}={text}" for key, text in typed.items()], step)
    words = tuple(word for key, text in typed.items() for word in ("--reading", f"{key}={text}"))
    return Attempt(StepDone(step.key, readings), "bench/do", {"step": step.key, **typed}, ("record", step.key, *words))


def _kinds_of_attempt() -> dict[str, Callable[[Workshop, str], Attempt]]:
    def proved(leave_out: tuple[str, ...], *, apart: bool = False) -> Callable[[Workshop, str], Attempt]:
        def attempt(store: Workshop, job: str) -> Attempt:
            work = bench_state(store, job)
            read = [one for one in checked(work) if one.key not in leave_out]
            if apart:
                read = [one for one in read if not one.key.startswith(BACK)]
            unit = {"pressure": "Pa", "length": "m", "force": "N"}
            typed = {one.key: f"{one.value!r} {unit[str(one.quantity)]}" if one.quantity else "yes" for one in read}
            words = tuple(word for key, text in typed.items() for word in ("--reading", f"{key}={text}"))
            return Attempt(
                FinalChecked(tuple(read), passed=True),
                "final-check",
                {**typed, "then": "passed"},
                ("final-check", *words, "--passed"),
            )

        return attempt

    def plain(attempt: Attempt) -> Callable[[Workshop, str], Attempt]:
        return lambda _store, _job: attempt

    return {
        "start": plain(Attempt(Started(), "bench/start", {}, ("start",))),
        "hand over": plain(
            Attempt(
                HandedOver(accepted=True, how="the customer"),
                "hand-over",
                {"accepted": "yes", "how": "the customer"},
                ("hand-over", "--accepted", "--how", "the customer"),
            )
        ),
        "hand over to nobody": plain(
            Attempt(HandedOver(accepted=True), "hand-over", {"accepted": "yes"}, ("hand-over", "--accepted"))
        ),
        "final check, complete": proved(()),
        "final check without pressures": proved(NEEDED[1:]),
        "final check without a brake test": proved((f"{BACK}brake",)),
        "sag on a bike in pieces": proved((), apart=True),
        "an empty note": plain(Attempt(Noted(""), "do/note", {"text": ""}, ("note",))),
        "refuse without a reason": plain(Attempt(WorkRefused(" "), "do/refuse", {"reason": " "}, ("refuse", " "))),
        "resume without an answer": plain(
            Attempt(Resumed("yes"), "do/resume", {"answer": "yes"}, ("resume", "--answer", "yes"))
        ),
        "ready with nothing ticked": plain(Attempt(Prepared((), ready=False), "prepare", {}, ("prepare",))),
    }


KINDS = _kinds_of_attempt()
STEP_KINDS = ("next", "next, nothing read", "next, outside", "next, no", "a later one", "one that is done")


def _attempt(store: Workshop, job: str, what: str) -> Attempt:
    if what in KINDS:
        return KINDS[what](store, job)
    work = bench_state(store, job)
    where = {"a later one": work.steps[5:6], "one that is done": work.done[:1]}
    steps = where.get(what, work.steps[:1])
    assume(bool(steps))
    return _step_attempt(steps[0], what.partition(", ")[2])


HISTORIES = st.builds(
    History,
    stage=st.sampled_from(STAGES),
    done=st.sampled_from((1, 4, 9, 17, 22, 29, 34)),
    waits=st.booleans(),
    rested=st.booleans(),
)


@pytest.mark.slow
@pytest.mark.law
@given(history=HISTORIES, what=st.sampled_from((*KINDS, *STEP_KINDS)))
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
def test_what_one_face_refuses_every_face_refuses_with_the_same_sentence(history: History, what: str) -> None:
    assume(not (history.waits and history.stage == "closed"))
    assume(history.stage not in ("plan",) or (what in KINDS and not what.startswith(("final check", "sag"))))
    with tempfile.TemporaryDirectory() as folder, _at(history, Path(folder)) as (path, at):
        copies = [shutil.copy(path, f"{folder}/{face}.sqlite") for face in ("page", "command")]
        with open_workshop(path) as store:
            view = open_job_numbered(store, NUMBER).view
            attempt = _attempt(store, view.card.id, what)
        before = len(view.entries)
        refusal = _refused_by_the_call(path, at, attempt)
        page, after_page = _page_after(Path(copies[0]), at, attempt)
        terminal, after_command = _terminal_after(Path(copies[1]), at, attempt)
    assert (after_page == before) == bool(refusal), (refusal, page)
    assert (after_command == before) == bool(refusal), (refusal, terminal)
    if refusal:
        assert _flat(refusal) in _flat(page), page
        assert _flat(refusal) in _flat(terminal), terminal


def test_an_inspection_that_fails_is_a_finding_at_the_command_line_too() -> None:
    history = History("worked", 17, waits=False, rested=False)
    with tempfile.TemporaryDirectory() as folder, _at(history, Path(folder)) as (path, at):
        with open_workshop(path) as store:
            job = open_job_numbered(store, NUMBER).view.card.id
            steps = bench_state(store, job).steps
            number = next(number for number, step in enumerate(steps) if step.inspect)
            kim = Person("Lou", start=at - timedelta(minutes=number + 1))
            kim.name = "Kim"
            for step in steps[:number]:
                said = kim(f"on-the-way-{step.key}")
                actions.record(store, job, said, what=done_well(step))
        step = steps[number]
        read = {one.key: one.as_typed for one in done_well(step).readings} | {step.inspect[0].key: BAD}
        words = tuple(word for key, text in read.items() for word in ("--reading", f"{key}={text}"))
        attempt = Attempt(Noted(), "", {}, ("record", step.key, *words))
        _terminal_after(path, at, attempt)
        with open_workshop(path) as store:
            state = open_job_numbered(store, NUMBER).view.state
    assert [one.failed for one in state.findings] == [(step.inspect[0].key,)]


def test_a_histories_clock_is_within_the_hour() -> None:
    """Nothing rests unless it is drawn to."""
    for done in (1, 34):
        _, last = _workshop("worked", done)
        assert MORNING < last < MORNING + timedelta(hours=2)
