"""The counter's form in its sections, and whom and what the workshop knows that may be meant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.item import Criterion
from sagwright.domain.sheet import Sheet
from sagwright.phrases.intake_labels import LABELS
from sagwright.service.jobs.queries import history_of_serial
from sagwright.service.workshop.customers import find_customers, records_of_customer
from sagwright.service.workshop.records import Workshop
from sagwright.web.counter.bike_chart import TEXT, chart_groups
from sagwright.web.counter.questions import (
    AIMS,
    OUTLINE,
    POSTURES,
    RIDER,
    TASKS,
    WISH,
    WORKSHOP,
    YES_NO,
    Filler,
    as_found,
    criteria,
    families,
)
from sagwright.web.files import saved_photos_of
from sagwright.web.http.form import Box, FieldErrors, Form, FormReading, pick_buttons

MOST_MATCHES: Final = 8


@dataclass(frozen=True, slots=True)
class CounterView:
    """One thing to look at: the choice of a verdict, its limit, photos that were kept."""

    key: str
    what: str
    limit: str
    box: Box
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """A section of the form.

    Attributes
    ----------
    key, title, lead : str
    boxes : tuple of Box
    looks : tuple of CounterView
        What is inspected.
    more : tuple of Box
        What is rarely asked, folded away.
    more_title : str
    more_looks : tuple of CounterView
    photos : tuple of str or None
        Photos kept here; None where none are taken.
    groups : tuple of (str, tuple of Box)
        Fields under headings of their own, folded away together.
    groups_title, groups_lead : str
    """

    key: str
    title: str
    lead: str = ""
    boxes: tuple[Box, ...] = ()
    looks: tuple[CounterView, ...] = ()
    more: tuple[Box, ...] = ()
    more_title: str = ""
    more_looks: tuple[CounterView, ...] = ()
    photos: tuple[str, ...] | None = None
    groups: tuple[tuple[str, tuple[Box, ...]], ...] = ()
    groups_title: str = ""
    groups_lead: str = ""

    @property
    def begun(self) -> bool:
        """Whether anything stands in the groups, or is wrong with them."""
        return any(box.value or box.wrong for _, boxes in self.groups for box in boxes)


def sections_of(
    reading: FormReading, wrongs: FieldErrors, boxes: dict[str, Box], sheets: Mapping[str, Sheet]
) -> tuple[Shelf, ...]:
    """Every section; its fields are put into `boxes` too, by name, in their order."""
    filler = Filler(reading.form, reading.choice, wrongs)
    shelves = (
        _customer(filler),
        _bike(filler),
        _unit(filler, sheets),
        _said(filler),
        _found(filler, reading),
        _condition(filler, reading),
        _rider(filler),
        _wish(filler),
    )
    boxes.update(filler.boxes)
    return shelves


def answered_sections(reading: FormReading, wrongs: FieldErrors, boxes: dict[str, Box]) -> tuple[Shelf, ...]:
    """The sections of a job that is there: whose it is and which unit it is stand fast."""
    filler = Filler(reading.form, reading.choice, wrongs)
    shelves = (
        Shelf("said", "Symptoms", boxes=(filler.box(Box("symptoms", "customer's description", "lines")),)),
        _found(filler, reading),
        _condition(filler, reading),
        _rider(filler),
        _known_bike(filler),
        _wish(filler),
    )
    boxes.update(filler.boxes)
    return shelves


def _customer(filler: Filler) -> Shelf:
    name = filler.box(Box("customer.name", "name"))
    contact = filler.box(Box("customer.contact", "how to reach them", hint="One way is enough."))
    return Shelf("customer", "Customer", boxes=(name, contact))


_CHART: Final = "Geometry, as its maker prints it"
CHART_LEAD: Final = (
    "With it the load follows from rider and posture, and what a change does to the bike is shown before and after. "
    "Usual ranges are common practice, no source; others are taken too."
)


def _bike(filler: Filler) -> Shelf:
    name = filler.box(Box("bicycle.name", "name of a new bike"))
    return _with_chart(
        filler,
        Shelf("bike", "Bike", "Without one the fork is worked alone: differences of angles only.", (name,)),
    )


def _known_bike(filler: Filler) -> Shelf:
    name = filler.box(Box("bicycle.name", "name"))
    lead = "Geometry that is put in or changed here is kept as the bike from now on; what was decided stays as it was."
    return _with_chart(filler, Shelf("bike", "Bike", lead, (name,)))


def _with_chart(filler: Filler, shelf: Shelf) -> Shelf:
    """A bike's section with its geometry: as fields, as a few values, or as a text."""
    groups = chart_groups(filler)
    outline = filler.asks(OUTLINE)
    text = filler.box(Box(TEXT, "or paste a bike/1 file", "lines", hint="Optional; pasted."))
    return replace(
        shelf,
        groups=groups,
        groups_title=_CHART,
        groups_lead=CHART_LEAD,
        more=(*outline, text),
        more_title="Only a few values, or a file",
    )


def _unit(filler: Filler, sheets: Mapping[str, Sheet]) -> Shelf:
    serial = filler.box(Box("unit.serial", "serial number", hint="As found on it; left empty where there is none."))
    family = filler.box(Box("unit.family", "spec sheet and chassis", "list", picks=families(sheets, filler.choice)))
    return Shelf("unit", "Unit", boxes=(serial, family))


def _said(filler: Filler) -> Shelf:
    said = filler.box(Box("symptoms", "customer's description", "lines"))
    due = filler.box(Box("due", "due", "day"))
    return Shelf("said", "Symptoms", boxes=(said, due))


def _found(filler: Filler, reading: FormReading) -> Shelf:
    asks = filler.asks(as_found(reading.sheet))
    leaked = filler.worded("as_found.charge.leaked", LABELS["as_found.charge.leaked"], YES_NO)
    cycled = filler.worded("as_found.charge.cycled", LABELS["as_found.charge.cycled"], YES_NO)
    lead = "Enter only what was read. Mark what cannot be read yet as unknown."
    more = filler.asks(WORKSHOP)
    return Shelf("found", "As found", lead, (*asks, leaked, cycled), more=more, more_title="Air in the workshop")


def _condition(filler: Filler, reading: FormReading) -> Shelf:
    outside, inside = criteria(reading.sheet) if reading.sheet else ((), ())
    return Shelf(
        "condition",
        "Condition",
        "" if reading.sheet else "Choose the spec sheet to see the inspection list.",
        boxes=(),
        looks=tuple(_look(filler, one, reading.form) for one in outside),
        more_title="Visible only when open" if inside else "",
        more_looks=tuple(_look(filler, one, reading.form) for one in inside),
        more=(filler.box(Box("condition.else", "other findings", "lines")),),
        photos=saved_photos_of(reading.form, "general"),
    )


def _look(filler: Filler, one: Criterion, form: Form) -> CounterView:
    verdicts = {"yes": "within limits", "no": "outside limits", "": "not inspected"}
    box = filler.worded(f"condition.{one.key}", one.what.removesuffix("."), verdicts)
    return CounterView(one.key, one.what, one.limit, box, saved_photos_of(form, one.key))


def _rider(filler: Filler) -> Shelf:
    posture = filler.worded("rider.posture", LABELS["rider.posture"], {**POSTURES, "": "not said"})
    return Shelf("rider", "Rider", boxes=(*filler.asks(RIDER), posture))


def _wish(filler: Filler) -> Shelf:
    ticks = tuple(filler.box(Box(f"task.{name}", text, "tick")) for name, text in TASKS.items())
    aim = filler.worded("wish.aim", LABELS["wish.aim"], AIMS)
    travel, *rest = filler.asks(WISH)
    return Shelf("wish", "Wish", "What the customer wants.", (travel, aim, *rest, *ticks))


def matches_of(workshop: Workshop, form: Form) -> tuple[Box, ...]:
    """Customers of that name, their bikes, and units with that serial number."""
    kinds = (_customers, _bikes, _units, _comebacks)
    return tuple(match for match in (kind(workshop, form) for kind in kinds) if match)


def _customers(workshop: Workshop, form: Form) -> Box | None:
    name = form.text("customer.name")
    found = find_customers(workshop, name)[:MOST_MATCHES] if name else ()
    options = {one.id: f"{one.name}{f', {one.contact}' if one.contact else ''}" for one in found}
    if not options:
        return None
    return Box(
        "customer.pick",
        "known customer?",
        "picks",
        picks=pick_buttons({**options, "": "new customer"}, form.text("customer.pick")),
    )


def _bikes(workshop: Workshop, form: Form) -> Box | None:
    customer = form.text("customer.pick")
    bikes = records_of_customer(workshop, customer)[1] if customer else ()
    options = {"none": "no bike", **{one.id: one.name for one in bikes}, "new": "a new bike"}
    return Box("bike.pick", "bike", "picks", picks=pick_buttons(options, form.text("bike.pick", "none")))


def _units(workshop: Workshop, form: Form) -> Box | None:
    serial = form.text("unit.serial")
    known = history_of_serial(workshop, serial)[:MOST_MATCHES] if serial else ()
    if not known:
        return None
    options = {one.unit.id: f"{one.unit.sheet} {one.unit.chassis}, here {len(one.jobs)} times" for one in known}
    return Box(
        "unit.pick",
        "seen before",
        "picks",
        picks=pick_buttons({**options, "": "another unit"}, form.text("unit.pick")),
    )


def _comebacks(workshop: Workshop, form: Form) -> Box | None:
    """Closed jobs on the unit that was picked: it may come back because of one of them."""
    known = history_of_serial(workshop, form.text("unit.serial")) if form.text("unit.pick") else ()
    jobs = [job.card for one in known if one.unit.id == form.text("unit.pick") for job in one.jobs if job.state.closed]
    if not jobs:
        return None
    options = {card.id: f"because of job {card.number}, {card.stage.value}" for card in jobs[-MOST_MATCHES:]}
    return Box(
        "unit.comeback",
        "comes back",
        "picks",
        picks=pick_buttons({**options, "": "no"}, form.text("unit.comeback")),
    )
