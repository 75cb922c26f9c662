"""What was typed at the counter → what is recorded; everything that is wrong with it, by the name of its field."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.domain.records.payloads import Condition, Facts
from sagwright.domain.records.text import is_day
from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError, MissingValue
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.facts import as_written, read_fact
from sagwright.service.jobs.intake import Arrival, NewBicycle, NewCustomer
from sagwright.web.counter.bike_chart import chart_document, charted
from sagwright.web.counter.questions import (
    NOT_ANSWERED,
    TASKS,
    WORDED,
    IntakeQuestion,
    as_found,
    criteria,
    intake_questions,
)
from sagwright.web.files import saved_photos_of
from sagwright.web.http.form import Form, FormReading


def family_of(form: Form) -> tuple[str, str]:
    """The key of the sheet and the chassis that were chosen; empty if none were."""
    key, _, chassis = form.text("unit.family").partition(" ")
    return key, chassis


def facts_of(reading: FormReading) -> Facts:
    """Every value that was typed or chosen, as the format has it."""
    return tuple(_facts(reading))


def _facts(reading: FormReading) -> Iterator[tuple[str, str]]:
    form = reading.form
    for ask in intake_questions(reading.sheet):
        text = _value(reading, ask)
        if text and _belongs(ask.path, form):
            yield ask.path, text
    for path in WORDED:
        if (word := form.text(path)) and (path != "rider.posture" or form.text("rider.mass")):
            yield from _worded(path, word)
    if serial := form.text("unit.serial"):
        yield "unit.serial", serial


def _belongs(path: str, form: Form) -> bool:
    """A wish for an aim counts only where that aim is chosen; what is pinned counts with a wish for travel."""
    if path.startswith("wish.aim."):
        return form.text("wish.aim") == path.rpartition(".")[2]
    if path in {"wish.volume_spacers", "wish.pressure"}:
        return bool(form.text("wish.travel"))
    return True


def _worded(path: str, word: str) -> Iterator[tuple[str, str]]:
    if path != "wish.aim" or word == "as-it-rode":
        yield path, word


def _value(reading: FormReading, ask: IntakeQuestion) -> str:
    """One value; empty if nothing was typed, or it is wrong."""
    typed = reading.form.text(ask.path)
    if ask.unknown and reading.form.has(ask.path + NOT_ANSWERED):
        if typed:
            rule = f'cannot be a value and "{ask.unknown}" at once'
            reading.wrong(ask.path, InputError(rule, remedy="Keep one of the two."))
        return ask.unknown
    if not typed:
        return ""
    try:
        text = as_written(ask.path, typed, reading.choice, unit=ask.unit)
        read_fact(ask.path, text)
    except InputError as error:
        reading.wrong(ask.path, error)
        return ""
    return text


def unread(facts: Facts, sheet: Sheet | None) -> tuple[str, ...]:
    """Paths of what is still to be read or said to be unknown, of the unit as found."""
    known = dict(facts)
    return tuple(ask.path for ask in as_found(sheet) if ask.unknown and ask.path not in known)


def tasks_of(reading: FormReading) -> tuple[str, ...]:
    """What is asked besides another travel."""
    form = reading.form
    tasks = [name for name in TASKS if form.has(f"task.{name}")]
    if not form.text("wish.travel"):
        for path, name in (("wish.volume_spacers", "volume-spacers"), ("wish.pressure", "set-pressure")):
            text = _value(reading, IntakeQuestion(path))
            tasks += [f"{name}={text}"] if text else []
    for task in tasks:
        try:
            read_task(task)
        except InputError as error:
            reading.wrong("wish.pressure", error)
    return tuple(tasks)


def conditions_of(reading: FormReading) -> tuple[Condition, ...]:
    """What was looked at, against its limits, and what else was seen."""
    return tuple(_conditions(reading))


def _conditions(reading: FormReading) -> Iterator[Condition]:
    form = reading.form
    for one in (each for some in (criteria(reading.sheet) if reading.sheet else ()) for each in some):
        photos = saved_photos_of(form, one.key)
        judged = {"yes": True, "no": False}.get(form.text(f"condition.{one.key}"))
        if judged is not None or photos:
            yield Condition(one.what, one.limit, judged, photos)
    if seen := form.raw("condition.else").strip():
        yield Condition(seen)


def due_of(reading: FormReading) -> str | None:
    """The day that is due."""
    text = reading.form.text("due")
    if text and not is_day(text):
        reading.wrong("due", InputError("must be a day, like 2026-03-02", remedy="Write year-month-day."))
    return text or None


def arrival_of(reading: FormReading) -> Arrival:
    """A whole arrival; what is wrong with it stands in the reading."""
    form = reading.form
    key, chassis = family_of(form)
    if not key or reading.sheet is None:
        reading.wrong("unit.family", MissingValue("must be chosen", remedy="Its sheet says what can be done to it."))
    customer = form.text("customer.pick") or NewCustomer(form.text("customer.name"), form.text("customer.contact"))
    if isinstance(customer, NewCustomer) and not customer.name:
        reading.wrong("customer.name", MissingValue("must not be empty", remedy="Write the customer's name."))
    facts = (*facts_of(reading), ("unit.chassis", chassis))
    tasks = tasks_of(reading)
    wished = bool(tasks) or "wish.travel" in dict(facts)
    return Arrival(
        customer=customer,
        sheet=key,
        facts=facts,
        unit=form.text("unit.pick") or None,
        bicycle=_bicycle(reading),
        visit=form.text("visit") or None,
        symptoms=form.raw("symptoms").strip(),
        condition=conditions_of(reading),
        tasks=tasks,
        photos=saved_photos_of(form, "general"),
        due=due_of(reading),
        complete=wished and not unread(facts, reading.sheet),
        comeback_of=form.text("unit.comeback") or None,
    )


def _bicycle(reading: FormReading) -> NewBicycle | str | None:
    """The bike that was picked; one that was named is a new one, even where nobody touched the choice."""
    form = reading.form
    picked, name = form.text("bike.pick", "none"), form.text("bicycle.name")
    if picked == "new" or (picked == "none" and name):
        return NewBicycle(name, chart_document(reading, name or "bike"))
    if charted(form):
        remedy = "Write what it is called; a bike that is known gets its geometry where its job is settled."
        reading.wrong("bicycle.name", MissingValue("must be given for the geometry below", remedy=remedy))
    return None if picked == "none" else picked
