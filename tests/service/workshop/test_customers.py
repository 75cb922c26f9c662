"""Customers can have all that is kept about them, and be forgotten, while the record stays whole."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from sagwright.domain.records.payloads import Noted
from sagwright.errors import InputError, InputErrors, NotNow, NotThere
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import NewBicycle, NewCustomer
from sagwright.service.jobs.queries import history_of_serial, open_job, search_jobs
from sagwright.service.workshop import customers, records
from sagwright.store.tables import METADATA
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, MORNING, Person


def everything(store: Store) -> str:
    """Every text in the database."""
    with store.reading() as transaction:
        rows = [row for table in METADATA.sorted_tables for row in transaction.execute(table.select())]
    return "\n".join(str(value) for row in rows for value in row)


def test_a_customer_is_erased_and_the_record_stays_whole(store: Store, kim: Person) -> None:
    said = kim("first")
    view = check_in(store, replace(ARRIVAL, customer=NewCustomer("Ada Nirgendwo", "ada@example.org")), said)
    actions.record(store, "first", kim(), what=Noted("picked up"))
    records.save_draft(store, "note", {"text": "Ada Nirgendwo rang"}, kim(), job="first")
    records.save_draft(store, "check in", {"customer": "Ada Nirgendwo"}, kim())
    before = open_job(store, "first").view.entries
    assert customers.erase_customer_of(store, view.card.customer, at=MORNING, by="Kim").erased
    assert "Nirgendwo" not in everything(store)
    assert "ada@example.org" not in everything(store)
    opened = open_job(store, "first")
    assert (opened.view.entries, opened.customer.name, opened.view.card.customer_name) == (before, "", "")
    assert search_jobs(store, "Nirgendwo") == ()
    assert len(history_of_serial(store, "0417")) == 1
    assert customers.find_customers(store, "") == ()
    assert customers.erase_customer_of(store, view.card.customer, at=MORNING, by="Lou").erased
    assert actions.record(store, "first", kim(), what=Noted("work goes on")).card.entries == 3
    with pytest.raises(NotNow, match="erased"):
        customers.rename(store, view.card.customer, name="Ada", contact="")
    with pytest.raises(NotNow, match="erased"):
        check_in(store, replace(ARRIVAL, customer=view.card.customer), kim())


def test_a_customer_gets_all_that_is_kept(store: Store, kim: Person) -> None:
    view = check_in(store, replace(ARRIVAL, bicycle=NewBicycle("Trail bike"), symptoms="knocks"), kim("first"))
    check_in(store, replace(ARRIVAL, customer=NewCustomer("Sam Other")), kim())
    given = json.loads(customers.export_customer(store, view.card.customer))
    assert given["shape"] == "customer/1"
    assert given["customer"]["name"] == "Jo Example"
    assert [one["name"] for one in given["bicycles"]] == ["Trail bike"]
    assert [one["serial"] for one in given["units"]] == ["0417"]
    assert [one["entries"][0]["payload"]["symptoms"] for one in given["jobs"]] == ["knocks"]
    assert "Sam" not in json.dumps(given)


def test_customers_are_found_and_changed(store: Store, kim: Person) -> None:
    view = check_in(store, replace(ARRIVAL, customer=NewCustomer("Zoë Example")), kim("first"))
    customers.rename(store, view.card.customer, name="Zoë Größer", contact="by the door")
    assert [one.contact for one in customers.find_customers(store, "GROSSER zoe")] == ["by the door"]
    assert [card.id for card in search_jobs(store, "grosser")] == ["first"]
    assert search_jobs(store, "example") == ()
    with pytest.raises(InputError, match="name must not be empty"):
        customers.rename(store, view.card.customer, name=" ", contact="")
    with pytest.raises(NotThere):
        customers.rename(store, "nobody", name="A", contact="")


def test_a_bike_is_changed_and_searched_by(store: Store, kim: Person) -> None:
    view = check_in(store, replace(ARRIVAL, bicycle=NewBicycle("Old")), kim("first"))
    bike = kim("first")
    customers.add_bicycle(store, view.card.customer, NewBicycle("Green hardtail"), bike)
    assert [one.name for one in customers.records_of_customer(store, view.card.customer)[1]] == ["Green hardtail"]
    assert [card.id for card in search_jobs(store, "hardtail")] == ["first"]
    with pytest.raises(InputErrors, match="geometry must be given"):
        customers.add_bicycle(store, view.card.customer, NewBicycle("Bad", "shape: bike/1\n"), kim())
