"""A unit comes in: customer, bike and unit found or made, and a job begun."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit, SheetRevision, Visit
from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.fold import with_facts
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import CheckedIn, Condition, Facts
from sagwright.domain.records.text import require_words, require_writable
from sagwright.errors import Conflict, MissingValue, NotNow, OutOfRange
from sagwright.formats.bike.load import load_bike_text
from sagwright.formats.sheet.load import sheet_of
from sagwright.service.log import begun, repeated, require_photos, require_sayable, view_of
from sagwright.service.sheets import sheet_for
from sagwright.store.documents import revision_by_id
from sagwright.store.engine import Transaction, one_at_a_time
from sagwright.store.jobs import entry_by_id
from sagwright.store.people import (
    add_customer,
    add_visit,
    bicycle_of,
    customer_of,
    put_bicycle,
    put_unit,
    unit_of,
    visit_of,
)


@dataclass(frozen=True, slots=True)
class NewCustomer:
    """Somebody who was not here before."""

    name: str
    contact: str = ""


@dataclass(frozen=True, slots=True)
class NewBicycle:
    """A bike that was not here before, with its geometry as bike/1 text where there is one."""

    name: str
    document: str = ""


@dataclass(frozen=True, slots=True)
class Arrival:
    """What comes in.

    Attributes
    ----------
    customer : NewCustomer or str
        Or the id of one who is known.
    sheet : str
        Key of a sheet, or id of one of its revisions.
    facts : tuple of (str, str)
        At least unit.chassis.
    unit : str or None
        Id of a unit that was here before; None makes a new one.
    bicycle : NewBicycle, str or None
        Or the id of one that is known; None for a posted fork.
    visit : str or None
        Id of a visit that this unit came with; None begins one.
    symptoms, condition, tasks, photos, due, complete, comeback_of
        As in `CheckedIn`.
    """

    customer: NewCustomer | str
    sheet: str
    facts: Facts
    unit: str | None = None
    bicycle: NewBicycle | str | None = None
    visit: str | None = None
    symptoms: str = ""
    condition: tuple[Condition, ...] = ()
    tasks: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    due: str | None = None
    complete: bool = True
    comeback_of: str | None = None


def check_in_unit(transaction: Transaction, arrival: Arrival, said: Submission) -> JobView:
    """A new job, with a new customer, bike, unit and visit where they are not known yet.

    What is new gets the submission's id, and so does the job.

    Raises
    ------
    InputError, InputErrors
        If a text cannot be kept, a name is empty, there is no such chassis, or the bike's text is wrong.
    NotThere
        If something that should be known is not.
    NotNow
        If it comes back from a job that is still open.
    Conflict
        If the id has been used for something else.
    StoreFailed
        If it could not be written.
    """
    require_writable(arrival)
    one_at_a_time(transaction)
    revision = sheet_for(transaction, arrival.sheet, said)
    entry = _entry(transaction, arrival, revision, said)
    if (before := entry_by_id(transaction, said.id)) is not None:
        return _again(transaction, arrival, before, entry)
    _make(transaction, arrival, revision, entry)
    return begun(transaction, entry)


def came_back(transaction: Transaction, job: str, arrival: Arrival) -> Arrival:
    """What comes in again: unit, customer, bike and sheet are those of an earlier job."""
    before = view_of(transaction, job).state
    return replace(
        arrival,
        customer=before.customer,
        unit=before.unit,
        sheet=revision_by_id(transaction, before.sheet).key,
        bicycle=arrival.bicycle or before.bicycle,
        comeback_of=job,
    )


def _entry(transaction: Transaction, arrival: Arrival, revision: SheetRevision, said: Submission) -> Entry:
    known = unit_of(transaction, arrival.unit) if arrival.unit else None
    facts = arrival.facts
    if known is not None:
        facts = with_facts((("unit.serial", known.serial), ("unit.chassis", known.chassis)), facts)
    payload = CheckedIn(
        customer=arrival.customer if isinstance(arrival.customer, str) else said.id,
        unit=arrival.unit or said.id,
        visit=arrival.visit or said.id,
        sheet=revision.id,
        facts=with_facts((), facts),
        bicycle=said.id if isinstance(arrival.bicycle, NewBicycle) else arrival.bicycle,
        symptoms=arrival.symptoms,
        condition=arrival.condition,
        tasks=arrival.tasks,
        photos=arrival.photos,
        due=arrival.due,
        complete=arrival.complete,
        comeback_of=arrival.comeback_of,
    )
    require_sayable(payload, said)
    return Entry(said.id, said.id, 1, said.at, said.by, payload, said.note)


def _again(transaction: Transaction, arrival: Arrival, before: Entry, entry: Entry) -> JobView:
    """The job that the same submission began, whatever became of its sheet, unit and customer since."""
    if isinstance(before.payload, CheckedIn) and isinstance(entry.payload, CheckedIn):
        entry = replace(entry, payload=replace(entry.payload, sheet=before.payload.sheet))
        customer = customer_of(transaction, before.payload.customer)
        if isinstance(arrival.customer, NewCustomer) and not customer.erased and customer.name != arrival.customer.name:
            raise Conflict("Another customer was checked in under the same id.", remedy="Begin a new form.")
    return repeated(transaction, before, entry)


def _make(transaction: Transaction, arrival: Arrival, revision: SheetRevision, entry: Entry) -> None:
    """Everything that is not there yet, and everything that must be is."""
    payload = entry.payload
    if not isinstance(payload, CheckedIn):
        raise TypeError("only a checking in makes customers and units")
    chassis = _chassis(payload.facts, revision)
    _make_customer(transaction, arrival, payload)
    if isinstance(arrival.bicycle, NewBicycle):
        put_bicycle(transaction, new_bicycle(arrival.bicycle, payload.customer, entry.id))
    elif arrival.bicycle is not None:
        bicycle_of(transaction, arrival.bicycle)
    serial = dict(payload.facts).get("unit.serial", "")
    unit = KnownUnit(payload.unit, serial, revision.key, chassis, payload.customer, payload.bicycle)
    put_unit(transaction, unit)
    _make_visit(transaction, arrival, payload, entry)
    _require_closed(transaction, payload)
    require_photos(transaction, payload)


def _make_customer(transaction: Transaction, arrival: Arrival, payload: CheckedIn) -> None:
    if isinstance(arrival.customer, NewCustomer):
        require_words(arrival.customer.name, "customer.name")
        add_customer(transaction, Customer(payload.customer, arrival.customer.name, arrival.customer.contact))
    elif customer_of(transaction, arrival.customer).erased:
        raise NotNow("This customer was erased.", remedy="Take the unit in under a new customer.")


def _make_visit(transaction: Transaction, arrival: Arrival, payload: CheckedIn, entry: Entry) -> None:
    if arrival.visit is None:
        add_visit(transaction, Visit(payload.visit, payload.customer, entry.at, arrival.due))
    elif visit_of(transaction, arrival.visit).customer != payload.customer:
        raise NotNow("The visit is another customer's.", remedy="Begin a new visit.")


def new_bicycle(said: NewBicycle, customer: str, key: str) -> Bicycle:
    """A bike from what was typed.

    Raises
    ------
    InputError, InputErrors
        If it has no name, or its text is not bike/1.
    """
    require_words(said.name, "bicycle.name")
    if said.document:
        load_bike_text(said.document, said.name)
    return Bicycle(key, customer, said.name, said.document)


def _chassis(facts: Facts, revision: SheetRevision) -> str:
    offered = [chassis.name for chassis in sheet_of(revision).chassis]
    named = dict(facts).get("unit.chassis")
    remedy = f"{revision.key} has: {', '.join(offered)}."
    if named is None:
        raise MissingValue("must be given", field="unit.chassis", remedy=remedy)
    if named not in offered:
        raise OutOfRange("must be a chassis of the sheet", field="unit.chassis", value=named, remedy=remedy)
    return named


def _require_closed(transaction: Transaction, payload: CheckedIn) -> None:
    if payload.comeback_of is None:
        return
    before = view_of(transaction, payload.comeback_of)
    if not before.state.closed:
        raise NotNow(f"Job {before.card.number} is still open.", remedy="Go on with it instead.")
    if before.state.unit != payload.unit:
        raise NotNow(f"Job {before.card.number} was on another unit.", remedy="Take this one in by itself.")
