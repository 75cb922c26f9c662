"""Owners can have all that is kept about them, and be forgotten, while the record stays whole."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from sagwright.domain.records.payloads import Noted
from sagwright.errors import InputError, InputErrors, NotNow, NotThere
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import take_in
from sagwright.service.jobs.intake import NewBicycle, NewOwner
from sagwright.service.jobs.queries import history, open_job, search
from sagwright.service.workshop import owners, records
from sagwright.store.tables import METADATA
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, MORNING, Person


def everything(store: Store) -> str:
    """Every text in the database."""
    with store.reading() as transaction:
        rows = [row for table in METADATA.sorted_tables for row in transaction.execute(table.select())]
    return "\n".join(str(value) for row in rows for value in row)


def test_an_owner_is_erased_and_the_record_stays_whole(store: Store, kim: Person) -> None:
    said = kim("first")
    view = take_in(store, replace(ARRIVAL, owner=NewOwner("Ada Nirgendwo", "ada@example.org")), said)
    actions.record(store, "first", kim(), what=Noted("picked up"))
    records.keep_draft(store, "note", {"text": "Ada Nirgendwo rang"}, kim(), job="first")
    records.keep_draft(store, "take in", {"owner": "Ada Nirgendwo"}, kim())
    before = open_job(store, "first").view.entries
    assert owners.erase(store, view.card.owner, at=MORNING, by="Kim").erased
    assert "Nirgendwo" not in everything(store)
    assert "ada@example.org" not in everything(store)
    opened = open_job(store, "first")
    assert (opened.view.entries, opened.owner.name, opened.view.card.owner_name) == (before, "", "")
    assert search(store, "Nirgendwo") == ()
    assert len(history(store, "0417")) == 1
    assert owners.find_owners(store, "") == ()
    assert owners.erase(store, view.card.owner, at=MORNING, by="Lou").erased
    assert actions.record(store, "first", kim(), what=Noted("work goes on")).card.entries == 3
    with pytest.raises(NotNow, match="erased"):
        owners.rename(store, view.card.owner, name="Ada", contact="")
    with pytest.raises(NotNow, match="erased"):
        take_in(store, replace(ARRIVAL, owner=view.card.owner), kim())


def test_an_owner_gets_all_that_is_kept(store: Store, kim: Person) -> None:
    view = take_in(store, replace(ARRIVAL, bicycle=NewBicycle("Trail bike"), symptoms="knocks"), kim("first"))
    take_in(store, replace(ARRIVAL, owner=NewOwner("Sam Other")), kim())
    given = json.loads(owners.export_owner(store, view.card.owner))
    assert given["shape"] == "owner/1"
    assert given["owner"]["name"] == "Jo Example"
    assert [one["name"] for one in given["bicycles"]] == ["Trail bike"]
    assert [one["serial"] for one in given["units"]] == ["0417"]
    assert [one["entries"][0]["says"]["symptoms"] for one in given["jobs"]] == ["knocks"]
    assert "Sam" not in json.dumps(given)


def test_owners_are_found_and_changed(store: Store, kim: Person) -> None:
    view = take_in(store, replace(ARRIVAL, owner=NewOwner("Zoë Example")), kim("first"))
    owners.rename(store, view.card.owner, name="Zoë Größer", contact="by the door")
    assert [one.contact for one in owners.find_owners(store, "GROSSER zoe")] == ["by the door"]
    assert [card.id for card in search(store, "grosser")] == ["first"]
    assert search(store, "example") == ()
    with pytest.raises(InputError, match="name must not be empty"):
        owners.rename(store, view.card.owner, name=" ", contact="")
    with pytest.raises(NotThere):
        owners.rename(store, "nobody", name="A", contact="")


def test_a_bike_is_changed_and_searched_by(store: Store, kim: Person) -> None:
    view = take_in(store, replace(ARRIVAL, bicycle=NewBicycle("Old")), kim("first"))
    bike = kim("first")
    owners.keep_bicycle(store, view.card.owner, NewBicycle("Green hardtail"), bike)
    assert [one.name for one in owners.things_of(store, view.card.owner)[1]] == ["Green hardtail"]
    assert [card.id for card in search(store, "hardtail")] == ["first"]
    with pytest.raises(InputErrors, match="geometry must be there"):
        owners.keep_bicycle(store, view.card.owner, NewBicycle("Bad", "shape: bike/1\n"), kim())
