"""`sagwright job correct`."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import named
from sagwright.cli.workshop import opened, said_by, submission_to_job
from sagwright.errors import NotThere, OutOfRange, RecordError

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Entry
    from sagwright.domain.records.payloads import Payload
    from sagwright.service.workshop.records import Workshop


@click.command()
@click.argument("job")
@click.argument("entry")
@click.option("--reading", "readings", multiple=True, metavar="KEY=TEXT", help="What was really read.")
@click.option("--set", "fields", multiple=True, metavar="FIELD=TEXT", help="Another field as `job show --json` has it.")
@click.option("--withdraw", metavar="REASON", help="It was a mistake altogether.")
@submission_to_job
def correct(job: str, entry: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Correct an ENTRY of a JOB, by its number or id: what it says from now on, beside what it said.

    Give the readings or fields that are wrong; all else stays as the entry has it.
    """
    from sagwright.cli.job_options import job_id, tell_job
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.queries import open_job

    said = said_by(options)
    with opened(workshop) as store:
        key = job_id(store, job)
        wrong = _entry(open_job(store, key).view.entries, entry)
        if options["withdraw"]:
            view = actions.withdraw(store, key, said, entry=wrong.id, reason=options["withdraw"])
        else:
            view = actions.correct(store, key, said, entry=wrong.id, what=_corrected(store, wrong, options))
    tell_job(view, as_json=as_json)


def _entry(entries: tuple[Entry, ...], said: str) -> Entry:
    for one in entries:
        if said in {one.id, str(one.ordinal)}:
            return one
    raise NotThere(f"The job has no entry {said}.", remedy="`sagwright job show JOB` numbers them.")


def _corrected(store: Workshop, wrong: Entry, options: dict[str, Any]) -> Payload:
    from sagwright.cli.job_options import pairs

    if not options["readings"] and not options["fields"]:
        remedy = "Give --reading, --set or --withdraw."
        raise OutOfRange("must say what is right", field="ENTRY", remedy=remedy)
    payload = _with_readings(store, wrong, options["readings"])
    return _with_fields(payload, dict(pairs("--set", options["fields"])))


def _with_readings(store: Workshop, wrong: Entry, typed: tuple[str, ...]) -> Payload:
    from sagwright.domain.records.payloads import Proved, Recorded
    from sagwright.service.jobs.decision import read_typed

    payload = wrong.payload
    if not typed:
        return payload
    if not isinstance(payload, Recorded | Proved):
        raise OutOfRange("must be of an entry with readings", value=payload.kind, field="--reading")
    step = payload.step if isinstance(payload, Recorded) else None
    with named("--reading"):
        new = {one.key: one for one in read_typed(store, wrong.job, typed, step=step)}
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
