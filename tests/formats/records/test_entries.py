"""The shape entry/1, frozen: what was written once is read for ever."""

from __future__ import annotations

import pytest

from sagwright.domain.records.payloads import (
    CheckedIn,
    Condition,
    Decided,
    Noted,
    Payload,
    PutOnHold,
    Reading,
    StepDone,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.domain.value import Quantity
from sagwright.errors import RecordError
from sagwright.formats.records.entries import payload_from_text, payload_to_text

READING = Reading("pressure_found", "Gauge pressure.", "78 ± 2 psi", Quantity.PRESSURE, 537_791.07, 7961.0, "pump-1")
FROZEN: list[tuple[Payload, str]] = [
    (
        CheckedIn("o", "u", "v", "s", (("unit.chassis", "mid"),), condition=(Condition("scratch", within=True),)),
        (
            '{"shape":"entry/1","customer":"o","unit":"u","visit":"v","sheet":"s","facts":[["unit.chassis","mid"]],'
            '"bicycle":null,"symptoms":"","condition":[{"what":"scratch","limit":"","within":true,"photos":[]}],'
            '"tasks":[],"photos":[],"due":null,"complete":true,"comeback_of":null,"kind":"checked in"}'
        ),
    ),
    (
        StepDone("off:readings", (READING,), 61.5),
        (
            '{"shape":"entry/1","step":"off:readings","readings":[{"key":"pressure_found","what":"Gauge pressure.",'
            '"as_typed":"78 ± 2 psi","quantity":"pressure","value":537791.07,"u":7961.0,"instrument":"pump-1",'
            '"predicted":null,"predicted_u":null,"within_limits":null,"photo":null}],"seconds":61.5,"photos":[],'
            '"kind":"step done"}'
        ),
    ),
    (
        Decided("d", "plan/1", "sagwright 0.1.0", "s", "i", None, ("off:readings",), (("wish.travel", "140 mm"),)),
        (
            '{"shape":"entry/1","work":"d","work_shape":"plan/1","program":"sagwright 0.1.0","sheet":"s","intake":"i",'
            '"bike":null,"steps":["off:readings"],"facts":[["wish.travel","140 mm"]],"kind":"decided"}'
        ),
    ),
    (
        PutOnHold(HoldReason.PARTS, "a seal", "12"),
        '{"shape":"entry/1","reason":"parts","what":"a seal","amount":"12","kind":"put on hold"}',
    ),
]


@pytest.mark.parametrize(("payload", "text"), FROZEN)
def test_it_is_written_and_read_as_it_was(payload: Payload, text: str) -> None:
    assert payload_to_text(payload) == text
    assert payload_from_text(text) == payload


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "not JSON with a shape"),
        ("[]", "not JSON with a shape"),
        ('{"kind":"noted"}', "not JSON with a shape"),
        ('{"shape":"entry/2","kind":"noted"}', 'shape "entry/2", and this program reads "entry/1".*newer program'),
        ('{"shape":"entry/1","kind":"sung"}', "cannot be read"),
        ('{"shape":"entry/1","text":7,"photos":[],"kind":"noted"}', r"cannot be read at noted\.text"),
        ('{"shape":"entry/1","text":"a","photos":[],"more":1,"kind":"noted"}', "keys or values"),
    ],
)
def test_what_is_no_entry_is_said(text: str, sentence: str) -> None:
    with pytest.raises(RecordError, match=sentence):
        payload_from_text(text)


def test_the_same_payload_is_the_same_text() -> None:
    assert (
        payload_to_text(Noted("é"))
        == payload_to_text(Noted("é"))
        == ('{"shape":"entry/1","text":"é","photos":[],"kind":"noted"}')
    )
