"""`sagwright job hold`, `resume`, `final-check`, `hand-over`, `refuse`, `due`, `note` and `correct`."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from sagwright.cli.commands.job_options import PHOTO, Act, job_act, pairs
from sagwright.cli.commands.options import as_day, named_option
from sagwright.errors import NotThere, OutOfRange, RecordError

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Entry
    from sagwright.domain.records.job import JobView
    from sagwright.domain.records.payloads import Payload
    from sagwright.service.workshop.records import Workshop
from typing import TYPE_CHECKING


@click.command()
@click.argument("job")
@click.argument("reason", type=click.Choice(["customer", "parts", "other"]))
@click.argument("what")
@click.option("--amount", default="", metavar="TEXT", help="What it would cost.")
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="An extra that a yes adds to the work: damper.")
@job_act
def hold_command(act: Act, reason: str, what: str, amount: str, tasks: tuple[str, ...]) -> JobView:
    """Put a JOB on hold for the customer, for parts or for something else; WHAT in words."""
    from sagwright.domain.records.payloads import PutOnHold
    from sagwright.domain.records.stages import HoldReason

    return act.record(PutOnHold(HoldReason(reason), what, amount, tasks))


@click.command()
@click.argument("job")
@click.option("--answer", default="", metavar="TEXT", help="What was answered.")
@click.option("--who", default="", metavar="NAME", help="Who answered.")
@click.option("--when", default="", callback=as_day, metavar="DATE", help="Year-month-day.")
@click.option("--yes/--no", "yes", default=None, help="Where it was a question.")
@job_act
def resume_command(act: Act, *, answer: str, who: str, when: str, yes: bool | None) -> JobView:
    """Take a JOB off hold: the answer or the parts are here."""
    from sagwright.domain.records.payloads import Resumed

    return act.record(Resumed(answer, who, when, yes))


@click.command()
@click.argument("job")
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="KEY=TEXT",
    help="As read or looked at: pressure_after='88 psi', back_wheel=yes, accepted='Kim: the rider asked for it'.",
)
@click.option("--with", "instrument", metavar="ID", help="What the readings were taken with.")
@click.option("--passed/--not-passed", required=True, help="Whether the readings are within tolerance.")
@job_act
def final_check_command(act: Act, readings: tuple[str, ...], instrument: str | None, *, passed: bool) -> JobView:
    """Record the final check of a JOB: its readings, and whether it passed."""
    from sagwright.domain.records.payloads import FinalChecked
    from sagwright.phrases.diagnosis import final_check_words
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.readings import read_final_check

    actions.require_now(act.store, act.job, FinalChecked)
    with named_option("--reading"):
        read = read_final_check(act.store, act.job, readings, final_check_words, instrument=instrument)
    return act.record(FinalChecked(read, passed))


@click.command("hand-over")
@click.argument("job")
@click.option("--accepted/--not-accepted", required=True, help="Whether the customer accepted it.")
@click.option("--how", default="", metavar="TEXT", help="Who accepted, and how: in person, by telephone.")
@click.option("--checks", default="", metavar="TEXT", help="What was checked on the bike.")
@click.option("--come-back", callback=as_day, metavar="DATE", help="For the first check, year-month-day.")
@job_act
def hand_over_command(act: Act, how: str, checks: str, come_back: str | None, *, accepted: bool) -> JobView:
    """Give the unit of a JOB back to its customer."""
    from sagwright.domain.records.payloads import HandedOver

    return act.record(HandedOver(accepted, how, checks, come_back))


@click.command()
@click.argument("job")
@click.argument("reason")
@click.option("--scrap", "scrapped", is_flag=True, help="It is not fit to be used again.")
@PHOTO
@job_act
def refuse(act: Act, reason: str, photos: tuple[str, ...], *, scrapped: bool) -> JobView:
    """Refuse a JOB, or scrap the unit, with the REASON."""
    from sagwright.domain.records.payloads import WorkRefused

    return act.record(WorkRefused(reason, scrapped, act.photos(photos)))


@click.command()
@click.argument("job")
@click.argument("date", callback=as_day, required=False)
@job_act
def due_command(act: Act, date: str | None) -> JobView:
    """Set the due DATE of a JOB, year-month-day; left out, it has none."""
    from sagwright.domain.records.payloads import DueDateSet

    return act.record(DueDateSet(date or None))


@click.command()
@click.argument("job")
@click.argument("text", default="")
@PHOTO
@job_act
def note_command(act: Act, text: str, photos: tuple[str, ...]) -> JobView:
    """Add a note or photos to a JOB."""
    from sagwright.domain.records.payloads import Noted

    return act.record(Noted(text, act.photos(photos)))


@click.command()
@click.argument("job")
@click.argument("entry")
@click.option("--reading", "readings", multiple=True, metavar="KEY=TEXT", help="What was really read.")
@click.option("--set", "fields", multiple=True, metavar="FIELD=TEXT", help="Another field as `job show --json` has it.")
@click.option("--withdraw", metavar="REASON", help="It was a mistake altogether.")
@job_act
def correct_command(
    act: Act, entry: str, readings: tuple[str, ...], fields: tuple[str, ...], withdraw: str | None
) -> JobView:
    """Correct an ENTRY of a JOB, by its number or id: what it says from now on, beside what it said.

    Give the readings or fields that are wrong; all else stays as the entry has it.
    """
    from sagwright.domain.records.payloads import Withdrawn
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.queries import open_job

    wrong = _entry(open_job(act.store, act.job).view.entries, entry)
    what = Withdrawn(withdraw) if withdraw else _corrected(act.store, wrong, readings, fields)
    return actions.record(act.store, act.job, act.submission, what=what, corrects=wrong.id)


def _entry(entries: tuple[Entry, ...], said: str) -> Entry:
    for one in entries:
        if said in {one.id, str(one.ordinal)}:
            return one
    raise NotThere(f"The job has no entry {said}.", remedy="`sagwright job show JOB` numbers them.")


def _corrected(store: Workshop, wrong: Entry, readings: tuple[str, ...], fields: tuple[str, ...]) -> Payload:
    if not readings and not fields:
        remedy = "Give --reading, --set or --withdraw."
        raise OutOfRange("must say what is right", field="ENTRY", remedy=remedy)
    payload = _with_readings(store, wrong, readings)
    return _with_fields(payload, dict(pairs("--set", fields)))


def _with_readings(store: Workshop, wrong: Entry, typed: tuple[str, ...]) -> Payload:
    from sagwright.domain.records.payloads import FinalChecked, StepDone
    from sagwright.phrases.diagnosis import final_check_words
    from sagwright.service.jobs.readings import read_final_check, read_typed

    payload = wrong.payload
    if not typed:
        return payload
    if not isinstance(payload, StepDone | FinalChecked):
        raise OutOfRange("must be of an entry with readings", value=payload.kind, field="--reading")
    with named_option("--reading"):
        if isinstance(payload, StepDone):
            read = read_typed(store, wrong.job, typed, step=payload.step)
        else:
            read = read_final_check(store, wrong.job, typed, final_check_words)
    new = {one.key: one for one in read}
    kept = tuple(new.pop(one.key, one) for one in payload.readings)
    return replace(payload, readings=(*kept, *new.values()))


def _with_fields(payload: Payload, fields: dict[str, str]) -> Payload:
    """The payload with some fields otherwise: JSON where it is, else text."""
    from sagwright.formats.records.entries import payload_from_text, payload_to_text

    says = json.loads(payload_to_text(payload))
    for name, text in fields.items():
        if name not in says or name in {"shape", "kind"}:
            known = ", ".join(key for key in says if key not in {"shape", "kind"})
            raise OutOfRange("must be a field of the entry", value=name, field="--set", remedy=f"It has: {known}.")
        says[name] = text if isinstance(says[name], str) else _json_or_text(text)
    try:
        return payload_from_text(json.dumps(says))
    except RecordError as error:
        raise OutOfRange("must fit the entry", value=", ".join(fields), field="--set", remedy=str(error)) from error


def _json_or_text(text: str) -> object:
    try:
        return json.loads(text, parse_int=float)  # no field of an entry is a whole number
    except ValueError:
        return text
