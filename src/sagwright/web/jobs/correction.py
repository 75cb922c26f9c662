"""An entry as a form filled with what it says, and the entry that corrects it; parts inspected, with their photos."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

from sagwright.domain.item import Record
from sagwright.domain.records import payloads
from sagwright.domain.records.entry import photos_in
from sagwright.domain.records.evidence import BAD, GOOD, passes
from sagwright.domain.records.stages import HoldReason
from sagwright.errors import InputError, InputErrors, MissingValue
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.facts import as_typed, as_written, read_fact
from sagwright.phrases.entries import WAITS_FOR, value_text
from sagwright.phrases.intake_labels import fact_label, fact_order
from sagwright.service.bench.final_check import corrected_reading
from sagwright.units import UnitChoice
from sagwright.web.bench.step_fields import read_si
from sagwright.web.http.form import Box, FieldErrors, Form, pick_buttons
from sagwright.web.jobs.actions import ACTS, day_of

WITHIN: Final = {"yes": "within its limit", "no": "outside it", "": "not judged"}
INSPECTION_RESULTS: Final = {"yes": True, "no": False, "": None}
_PHOTO: Final = "photo"
"""What a reading says that is nothing but a photo."""
STAYS: Final = {"yes": "stays", "no": "does not belong here"}

_TASKS: Final = Box("tasks", "tasks, with commas", hint="As they are written: wipers, set-pressure=80psi.")
ACT_FIELDS: Final = {act.name: act.fields for act in ACTS}
FIELDS: Final[dict[type, tuple[Box, ...]]] = {
    payloads.CheckedIn: (Box("symptoms", "symptoms", "lines"), _TASKS, Box("due", "due", "day")),
    payloads.IntakeUpdated: (Box("symptoms", "symptoms", "lines"), _TASKS),
    payloads.Answered: (Box("answer", "answer", "lines"), Box("who", "who answered"), Box("when", "when", "day")),
    payloads.Prepared: (Box("ready", "everything that the work needs lies ready", "tick"),),
    payloads.PassedOn: ACT_FIELDS["pass-on"],
    payloads.ProblemFound: (Box("what", "what is wrong", "lines"),),
    payloads.PutOnHold: (
        Box("reason", "for", "picks", picks=pick_buttons({one.value: text for one, text in WAITS_FOR.items()}, "")),
        Box("what", "what exactly"),
        Box("amount", "amount, if it costs something"),
    ),
    payloads.Resumed: ACT_FIELDS["resume"],
    payloads.HandedOver: (
        Box("accepted", "accepted by the customer", "tick"),
        Box("how", "how", hint="In person, by telephone."),
        Box("checks", "checks", "lines"),
        Box("come_back", "to come back"),
    ),
    payloads.WorkRefused: (
        Box("reason", "reason", "lines"),
        Box("scrapped", "not fit to be used again: scrap", "tick"),
    ),
    payloads.DueDateSet: ACT_FIELDS["due"],
    payloads.Noted: ACT_FIELDS["note"],
}
"""What may be put right of each kind of entry, besides facts and readings."""
_NEEDED: Final = {
    payloads.Answered: ("answer", "who", "when"),
    payloads.ProblemFound: ("what",),
    payloads.PutOnHold: ("reason", "what"),
    payloads.WorkRefused: ("reason",),
}
_FACT: Final = "fact."
SIGHTS: Final = {GOOD: GOOD, BAD: BAD}
MAY_BE_NONE: Final = frozenset({"due", "come_back"})


def inspection_boxes(payload: payloads.Payload) -> Iterator[Box]:
    """The fields, filled with what the entry says."""
    for number, one in enumerate(_conditions(payload)):
        if one.limit:
            judged = next(word for word, within in INSPECTION_RESULTS.items() if within is one.within)
            label = f"{one.what.removesuffix('.')}: {one.limit}"
            yield Box(f"c{number}", label, "picks", judged, picks=pick_buttons(WITHIN, judged))
        else:
            yield Box(f"c{number}", "what else was seen", "lines", one.what, hint="Left empty it is taken back.")
    for number, photo in enumerate(photos_in(payload), 1):  # as the entry shows them
        yield Box(f"photo.{photo}", f"photo {number}", "picks", "yes", picks=pick_buttons(STAYS, "yes"))


def inspections_in(payload: payloads.Payload, form: Form) -> dict[str, Any]:
    """What the form says was seen, by the entry's own names; what it does not have stays."""
    said: dict[str, Any] = {}
    if _conditions(payload):
        said["condition"] = tuple(_corrected_conditions(payload, form))
    if photos := getattr(payload, "photos", ()):
        said["photos"] = _staying(photos, form)
    return said


def photographed(readings: tuple[payloads.Reading, ...], form: Form) -> tuple[payloads.Reading, ...]:
    """Readings without the photos that do not belong to them; one that was nothing but its photo goes with it."""
    staying = ((one, one.photo is None or _staying((one.photo,), form)) for one in readings)
    return tuple(
        one if stays else replace(one, photo=None) for one, stays in staying if stays or one.as_typed != _PHOTO
    )


def _conditions(payload: payloads.Payload) -> tuple[payloads.Condition, ...]:
    found: tuple[payloads.Condition, ...] = getattr(payload, "condition", ())
    return found


def _corrected_conditions(payload: payloads.Payload, form: Form) -> Iterator[payloads.Condition]:
    for number, one in enumerate(_conditions(payload)):
        again, name = replace(one, photos=_staying(one.photos, form)), f"c{number}"
        if form.has(name) and one.limit:
            again = replace(again, within=INSPECTION_RESULTS.get(form.text(name), one.within))
        elif form.has(name):
            again = replace(again, what=form.raw(name).strip())
        if again.what:
            yield again


def _staying(photos: tuple[str, ...], form: Form) -> tuple[str, ...]:
    return tuple(photo for photo in photos if form.text(f"photo.{photo}") != "no")


def boxes_of(
    payload: payloads.Payload, choice: UnitChoice, form: Form | None = None, wrongs: FieldErrors | None = None
) -> list[Box]:
    """Fields for everything of an entry that may be put right; none where only withdrawing it makes sense.

    They hold what the entry says, or what was typed, with what is wrong beside it.
    """
    made = [*_of_kind(payload), *_of_facts(payload, choice), *_of_readings(payload, choice), *inspection_boxes(payload)]
    first = next((box.name for box in made if box.name in (wrongs or {})), "")
    return [_typed(box, form, wrongs or {}, first=box.name == first) for box in made]


def _typed(box: Box, form: Form | None, wrongs: FieldErrors, *, first: bool) -> Box:
    value = box.value if form is None else form.raw(box.name)
    chosen = pick_buttons({one.value: one.text for one in box.picks}, value)
    return replace(box, value=value, picks=chosen, wrong=wrongs.get(box.name, ""), first=first)


def _of_kind(payload: payloads.Payload) -> Iterator[Box]:
    for box in FIELDS.get(type(payload), ()):
        value = getattr(payload, box.name)
        if not (isinstance(payload, payloads.IntakeUpdated) and value is None):
            yield replace(box, value=_text(value, no="" if box.kind == "tick" else "no"))


def _text(value: object, *, no: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else no
    if isinstance(value, tuple):
        return ", ".join(value)
    return "" if value is None else str(value)


def _of_facts(payload: payloads.Payload, choice: UnitChoice) -> Iterator[Box]:
    for path, text in sorted(getattr(payload, "facts", ()), key=lambda fact: fact_order(fact[0])):
        if isinstance(payload, payloads.CheckedIn | payloads.IntakeUpdated) and not path.startswith("unit."):
            yield Box(_FACT + path, fact_label(path), value=as_typed(text, choice), hint="Left empty it is taken back.")


def _of_readings(payload: payloads.Payload, choice: UnitChoice) -> Iterator[Box]:
    for number, reading in enumerate(getattr(payload, "readings", ())):
        what = reading.what.removesuffix(".")
        if reading.as_typed in SIGHTS:
            yield Box(f"r{number}", what, "picks", reading.as_typed, picks=pick_buttons(SIGHTS, reading.as_typed))
        else:
            yield Box(f"r{number}", what, value=value_text(reading, choice) or reading.as_typed)


# What was typed → the entry that stands in


@dataclass(frozen=True, slots=True)
class Filled:
    """A form that came back: what was typed, in which units, and what the entry's step asks to write down, by key."""

    form: Form
    choice: UnitChoice
    records: Mapping[str, Record]


def corrected(payload: payloads.Payload, filled: Filled) -> payloads.Payload:
    """The entry as the form says it; what the form does not have stays.

    Raises
    ------
    InputErrors
        Everything that is wrong, each with the name of its field.
    """
    faults: list[InputError] = list(_missing(payload, filled.form))
    said = inspections_in(payload, filled.form)
    for box in _of_kind(payload):
        if box.kind in {"tick", "picks"} or filled.form.has(box.name):
            _collect(faults, said, box.name, partial(_said, payload, box, filled.form))
    if isinstance(payload, payloads.CheckedIn | payloads.IntakeUpdated):
        said["facts"] = _facts(payload.facts, filled, faults)
    if isinstance(payload, payloads.StepDone | payloads.FinalChecked):
        said["readings"] = photographed(_readings(payload.readings, filled, faults), filled.form)
    if faults:
        raise InputErrors(tuple(faults))
    return replace(payload, **said)


def _collect(faults: list[InputError], said: dict[str, Any], name: str, read: Callable[[], object]) -> None:
    try:
        said[name] = read()
    except InputError as error:
        faults.append(InputError(error.rule, value=error.value, remedy=error.remedy, field=name))


def _missing(payload: payloads.Payload, form: Form) -> Iterator[InputError]:
    for name in _NEEDED.get(type(payload), ()):
        if not form.text(name):
            yield MissingValue("must be given", field=name, remedy="Write it, or withdraw the entry.")


def _said(payload: payloads.Payload, box: Box, form: Form) -> object:
    text = form.raw(box.name).strip()
    if box.kind == "tick":
        return text == "yes"
    if box.name == "tasks":
        return _tasks(text)
    if box.kind == "day":
        text = day_of(form, box.name)
    if isinstance(payload, payloads.Resumed) and box.name == "yes":
        return {"yes": True, "no": False}.get(text)
    if isinstance(payload, payloads.PutOnHold) and box.name == "reason":
        return HoldReason(text) if text in set(HoldReason) else payload.reason
    return text or (None if box.name in MAY_BE_NONE else "")


def _tasks(text: str) -> tuple[str, ...]:
    tasks = tuple(one.strip() for one in text.split(",") if one.strip())
    for one in tasks:
        read_task(one)
    return tasks


def _facts(facts: payloads.Facts, filled: Filled, faults: list[InputError]) -> payloads.Facts:
    said: dict[str, Any] = {}
    for path, text in facts:
        typed = filled.form.text(_FACT + path)
        if filled.form.has(_FACT + path) and typed != as_typed(text, filled.choice):
            _collect(faults, said, _FACT + path, partial(_fact, path, typed, filled.choice))
    return tuple((path, said.get(_FACT + path, text)) for path, text in facts)


def _fact(path: str, typed: str, choice: UnitChoice) -> str:
    if not typed:
        return ""
    written = as_written(path, typed, choice)
    read_fact(path, written)
    return written


def _readings(
    readings: tuple[payloads.Reading, ...], filled: Filled, faults: list[InputError]
) -> tuple[payloads.Reading, ...]:
    said: dict[str, Any] = {}
    for number, reading in enumerate(readings):
        name = f"r{number}"
        if filled.form.text(name) not in ("", value_text(reading, filled.choice) or reading.as_typed):
            _collect(faults, said, name, partial(_reading, reading, name, filled))
    return tuple(said.get(f"r{number}", reading) for number, reading in enumerate(readings))


def _reading(reading: payloads.Reading, name: str, filled: Filled) -> payloads.Reading:
    """The reading as it was really taken, held again against what it was held against."""
    record = filled.records.get(reading.key)
    if reading.quantity is None or reading.value is None:
        return _sight(reading, filled.form.text(name), record)
    value, said = read_si(filled.form, name, reading.quantity, filled.choice)
    again = replace(reading, value=value, as_typed=said)
    if value is not None and reading.predicted is not None and record is None:
        return corrected_reading(again, value)
    return again if record is None else replace(again, within_limits=passes(record, said, value))


def _sight(reading: payloads.Reading, text: str, record: Record | None) -> payloads.Reading:
    if reading.as_typed in SIGHTS:
        return replace(reading, as_typed=text, within_limits=text == GOOD)
    return replace(reading, as_typed=text, within_limits=None if record is None else passes(record, text, None))
