"""Whatever people type comes back as typed, or is refused with a reason."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from sagwright.domain.records.entities import Instrument
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.payloads import (
    Condition,
    IntakeUpdated,
    Noted,
    Payload,
    ProblemFound,
    PutOnHold,
    Started,
    Withdrawn,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.errors import InputError
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import NewBicycle, NewCustomer
from sagwright.service.jobs.queries import board, history_of_serial, open_job, search_jobs
from sagwright.service.workshop import records
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, FACTS, Person, by_the_log

NASTY = [
    "שלום עולם \u202eabc\u202c مرحبا",
    "🚲🔧👩‍🔧 é é ẞ ﬁ",
    "x" * 300,
    "'; DROP TABLE jobs; --",
    '<script>alert("1")</script> &amp; {{ 7*7 }}',
    "100 % _under_ \\back\\ \"quotes\" 'single'",
    "two\nlines\r\nand\ttabs\u2028\u0085\x07",
    "  spaces around  ",
    "null",
]
AT = datetime(2026, 3, 2, 9, 30, 15, 123_456, tzinfo=UTC)


@pytest.mark.parametrize("text", NASTY, ids=range(len(NASTY)))
def test_every_field_comes_back_as_typed(store: Store, text: str) -> None:
    said = Submission(text, text, AT, note=text)
    facts = (*FACTS, ("unit.serial", text), ("rider.gear", text))
    arrival = replace(
        ARRIVAL,
        customer=NewCustomer(text, text),
        bicycle=NewBicycle(text),
        facts=facts,
        symptoms=text,
        condition=(Condition(text, text, within=False),),
        tasks=(text,),
    )
    check_in(store, arrival, said)
    more: list[Payload] = [
        IntakeUpdated((("a.b", text),), (text, text), text),
        ProblemFound(text, text, (text,), ((text, 1e-300),)),
        PutOnHold(HoldReason.PARTS, text, text),
        WorkRefused(text),
        Noted(text),
    ]
    for number, payload in enumerate(more):
        by_the_log(store, text, payload, Submission(f"{text}{number}", text, AT, note=text))
    opened = open_job(store, text)
    assert (opened.customer.name, opened.customer.contact) == (text, text)
    assert (opened.unit.serial, opened.bicycle and opened.bicycle.name) == (text, text)
    assert opened.view.entries[0].payload == arrival_payload(opened.view.entries[0].payload, text)
    assert [entry.payload for entry in opened.view.entries[1:]] == more
    assert {(entry.by, entry.note, entry.at) for entry in opened.view.entries} == {(text, text, AT)}
    assert (opened.view.card.customer_name, opened.view.card.serial) == (text, text)
    assert [card.id for card in search_jobs(store, text)] == [text]
    assert [unit.unit.serial for unit in history_of_serial(store, text)] == [text]


def arrival_payload(payload: object, text: str) -> object:
    """The same payload, with what was typed where it was typed."""
    return replace(
        payload,  # type: ignore[type-var]
        symptoms=text,
        condition=(Condition(text, text, within=False),),
        tasks=(text,),
    )


@pytest.mark.parametrize("text", NASTY, ids=range(len(NASTY)))
def test_instruments_and_forms_come_back_as_typed(store: Store, text: str) -> None:
    pump = Instrument("p", text, text, text)
    records.save_instrument(store, pump)
    assert records.list_instruments(store) == (pump,)
    typed = {text: text, "other": ""}
    records.save_draft(store, text, typed, Submission("d", text, AT))
    assert records.read_draft(store, "d") == typed


BAD = [("a\0b", "NUL"), ("a\ud800b", "half a character"), ("y" * 20_001, "longer than 20000")]


@pytest.mark.parametrize(("text", "reason"), BAD, ids=["nul", "surrogate", "long"])
def test_what_no_database_can_keep_is_refused_and_nothing_recorded(
    store: Store, kim: Person, text: str, reason: str
) -> None:
    job = check_in(store, ARRIVAL, kim()).card.id
    calls: list[Callable[[], object]] = [
        lambda: check_in(store, replace(ARRIVAL, customer=NewCustomer(text)), kim()),
        lambda: check_in(store, replace(ARRIVAL, facts=(*FACTS, ("unit.serial", text))), kim()),
        lambda: check_in(store, replace(ARRIVAL, bicycle=NewBicycle(text)), kim()),
        lambda: check_in(store, ARRIVAL, Submission(text, "Kim", AT)),
        lambda: actions.record(store, job, kim(), what=Noted(text)),
        lambda: actions.record(store, job, Submission("i", text, AT), what=Noted("a")),
        lambda: actions.record(store, job, Submission("i", "Kim", AT, note=text), what=Noted("a")),
        lambda: actions.record(store, job, kim(), corrects=job, what=Withdrawn(text)),
        lambda: search_jobs(store, text),
        lambda: history_of_serial(store, text),
        lambda: records.save_instrument(store, Instrument("p", "pump", text)),
        lambda: records.save_draft(store, "check in", {"customer": text}, kim()),
    ]
    for call in calls:
        with pytest.raises(InputError, match=reason):
            call()
    assert [card.entries for card in board(store)] == [1]


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_number_that_is_none_is_refused(store: Store, kim: Person, value: float) -> None:
    job = check_in(store, ARRIVAL, kim()).card.id
    with pytest.raises(InputError, match=r"found\.0\.1 must be a number"):
        actions.record(store, job, kim(), what=ProblemFound("x", found=(("travel_spacers", value),)))


def test_what_must_be_said_cannot_be_empty(store: Store, kim: Person) -> None:
    job = check_in(store, ARRIVAL, kim()).card.id
    with pytest.raises(InputError, match=r"customer\.name must not be empty"):
        check_in(store, replace(ARRIVAL, customer=NewCustomer("  ")), kim())
    with pytest.raises(InputError, match="reason must not be empty"):
        actions.record(store, job, kim(), what=WorkRefused(" "))
    with pytest.raises(InputError, match="by must not be empty"):
        actions.record(store, job, Submission("i", "", AT), what=Started())


def test_searching_knows_no_case_and_no_accents(store: Store, kim: Person) -> None:
    check_in(store, replace(ARRIVAL, customer=NewCustomer("Zoë Ångström-Łukasz ß")), kim("a"))
    check_in(store, replace(ARRIVAL, customer=NewCustomer("Sam % Example")), kim("b"))
    for query in ("zoe", "ÅNGSTROM", "lukasz zoë", "SS", "1001 zoe", "0417 ångström", "t35 łukasz"):
        assert [card.id for card in search_jobs(store, query)] == ["a"], query
    assert [card.id for card in search_jobs(store, "%")] == ["b"]
    assert search_jobs(store, "zoe sam") == ()
    assert search_jobs(store, "_") == ()
    assert [card.id for card in search_jobs(store, " ")] == ["b", "a"]
