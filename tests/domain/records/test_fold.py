"""What entries come to."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.fold import job_state, with_entry, with_facts
from sagwright.domain.records.payloads import (
    Answered,
    CheckedIn,
    Decided,
    DueDateSet,
    FinalChecked,
    HandedOver,
    IntakeUpdated,
    Noted,
    PassedOn,
    Payload,
    Prepared,
    ProblemFound,
    PutOnHold,
    Resumed,
    Started,
    StepDone,
    Withdrawn,
    WorkRefused,
)
from sagwright.errors import RecordError
from sagwright.formats.records.entries import payload_from_text, payload_to_text
from tests.support.workshops import MORNING

WORDS = st.text(st.characters(exclude_characters="\0", codec="utf-8"), max_size=20)
KINDS = (
    IntakeUpdated,
    Answered,
    Decided,
    Prepared,
    Started,
    PassedOn,
    StepDone,
    ProblemFound,
    PutOnHold,
    Resumed,
    FinalChecked,
    HandedOver,
    WorkRefused,
    DueDateSet,
    Noted,
)
ANY: st.SearchStrategy[Payload] = st.one_of([st.from_type(kind) for kind in KINDS])
BEGUN = CheckedIn("customer", "unit", "visit", "sheet", (("wish.travel", "140 mm"),))


@st.composite
def histories(draw: st.DrawFn) -> list[Entry]:
    """Entries of any kind in any order, some of which correct earlier ones; not all of it could happen."""
    entries = [Entry("0", "0", 1, MORNING, "Kim", BEGUN)]
    for number in range(1, draw(st.integers(1, 12))):
        at = MORNING + timedelta(minutes=draw(st.integers(0, 60)))
        corrected = draw(st.sampled_from(entries)) if draw(st.booleans()) else None
        payload: Payload
        if corrected is None:
            payload = draw(ANY)
        elif draw(st.booleans()) and corrected.payload.kind != "checked in" and corrected.corrects is None:
            payload = Withdrawn(draw(WORDS))
        else:
            payload = corrected.payload
        entries.append(
            Entry(str(number), "0", number + 1, at, "Kim", payload, corrects=corrected.id if corrected else None)
        )
    return entries


@pytest.mark.law
@given(histories())
def test_whatever_was_recorded_has_a_state(entries: list[Entry]) -> None:
    state = job_state(entries)
    assert state.entries == len(entries)
    assert state.updated == max(entry.at for entry in entries)
    assert {line.entry.id for line in state.lines} == {entry.id for entry in entries if entry.corrects is None}


@pytest.mark.law
@given(histories())
def test_one_entry_more_is_all_entries_together(entries: list[Entry]) -> None:
    known = entries[:-1]
    assume(known)
    assert with_entry(job_state(known), known, entries[-1]) == job_state(entries)


@pytest.mark.law
@given(st.one_of([st.from_type(kind) for kind in (*KINDS, CheckedIn, Withdrawn)]))
def test_every_payload_comes_back_from_its_text(payload: Payload) -> None:
    try:
        text = payload_to_text(payload)
        text.encode()
    except ValueError:  # a number that is none, or half a character: refused before it comes here
        reject()
    assert payload_from_text(text) == payload


@pytest.mark.law
@given(st.lists(st.tuples(st.sampled_from(["a", "a.b", "a.b.c", "ab", "d"]), st.sampled_from(["1", "2", " "]))))
def test_facts_are_a_tree(said: list[tuple[str, str]]) -> None:
    """No path stands beside one under it, what was said last is there, and nothing is there twice."""
    facts = dict(with_facts((), tuple(said)))
    assert not any(other.startswith(f"{one}.") for one in facts for other in facts)
    if said:
        path, text = said[-1]
        assert facts.get(path) == (text if text.strip() else None)
    assert with_facts(tuple(facts.items()), ()) == tuple(sorted(facts.items()))


def test_a_job_begins_by_being_checked_in() -> None:
    for entries in ([], [Entry("0", "0", 1, MORNING, "Kim", Noted("x"))]):
        with pytest.raises(RecordError, match="takes it in"):
            job_state(entries)
