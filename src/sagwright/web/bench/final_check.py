"""Readings as left against what the plan predicted, and the bike back together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.diagnosis import Prediction, Verdict
from sagwright.domain.plan import Plan
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Proved, Reading
from sagwright.domain.records.stages import Stage
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, MissingValue
from sagwright.phrases import quantities
from sagwright.phrases.diagnosis import BACK_TOGETHER, EXPLAINED, mistake_text, reading_words
from sagwright.service.bench.final_check import NEXT, LeakTest, diagnosis, judged, leak_judged, proof_reading, to_prove
from sagwright.service.bench.state import AtTheStand, at_the_stand
from sagwright.service.jobs import actions
from sagwright.service.jobs.queries import OpenedJob
from sagwright.units import Choice
from sagwright.web.bench.frame import Hold, address, frame_of, held
from sagwright.web.bench.step_fields import faults_by_field, number_field, read_si
from sagwright.web.http.form import Form
from sagwright.web.http.number_field import NumberField
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import Asked, get, post
from sagwright.web.job_frame import job_of

NEEDED: Final = ("exposed_change", "pressure_before", "pressure_after")
MOST_SIMULATED: Final = 5
LEAK: Final = (
    ("leak_start", "pressure at the start", Quantity.PRESSURE),
    ("leak_from", "temperature at the start", Quantity.TEMPERATURE),
    ("leak_end", "pressure at the end", Quantity.PRESSURE),
    ("leak_to", "temperature at the end", Quantity.TEMPERATURE),
)
NEVER: Final = ("exposed_change",)
"""Outside its band it is not accepted: the travel is another, or something is not home."""
RIDDEN: Final = "sag_"
"""What the keys of readings begin with for which somebody stands on the bike."""
PROVABLE: Final = (Stage.PROVE, Stage.HAND_OVER)
YES: Final = "yes"


@dataclass(frozen=True, slots=True)
class ProofRow:
    """One reading: how it is taken, what it should be, what was read, and what that says.

    Attributes
    ----------
    key, name, how : str
    predicted, band : str
        The prediction, and between what a reading may lie.
    field : NumberField
    read : str
        What was read last; empty for nothing.
    verdict : str
        "inside", "outside" or empty.
    explained : tuple of str
        What would explain it.
    next : str
        What to read next to tell.
    """

    key: str
    name: str
    how: str
    predicted: str
    band: str
    field: NumberField
    read: str
    verdict: str
    explained: tuple[str, ...]
    next: str


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing to look at before anyone rides: its name, what, whether it was."""

    name: str
    text: str
    done: bool


@dataclass(frozen=True, slots=True)
class LeakShown:
    """The leak test: how, its fields, and what it said."""

    how: str
    fields: tuple[NumberField, ...]
    said: str
    verdict: str
    explained: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProvePage(Page):
    """The proof.

    Attributes
    ----------
    way_back : bool
        Whether the wish turned out impossible, and the unit was only closed again.
    rows, ridden : tuple of ProofRow
        In order; those for which somebody stands on the bike, which is back together by then.
    leak : LeakShown
    ticks : tuple of Tick
        The bike back together, in its order.
    with_bike : bool
        Whether there is a bike; a posted fork goes back with the list.
    missing : tuple of str
        What is missing before it is proven.
    outside : bool
        Whether a reading is outside its band.
    simulated : tuple of str
        Simulated mistakes that would explain all readings together, nearest first.
    then_read : str
        The reading that best parts those.
    action, hand_over, wrong : str
    by, submission : str
    faults : tuple of str
    """

    template: ClassVar[str] = "bench/final_check.html"

    way_back: bool
    rows: tuple[ProofRow, ...]
    ridden: tuple[ProofRow, ...]
    leak: LeakShown
    ticks: tuple[Tick, ...]
    with_bike: bool
    missing: tuple[str, ...]
    outside: bool
    simulated: tuple[str, ...]
    then_read: str
    action: str
    hand_over: str
    wrong: str
    by: str
    submission: str
    faults: tuple[str, ...]


def look(asked: Asked) -> Response:
    """The readings in order."""
    job = job_of(asked)
    if job.view.card.stage not in PROVABLE or job.view.card.waiting:
        said = ("Nothing is to be proven yet.", "Every step at the bench comes first.")
        return held(asked, job, "Prove", Hold(said, ways=(Link("Bench", address(job, "bench")),)), on=Stage.PROVE)
    return respond(_page(asked, job, {}))


def _page(asked: Asked, job: OpenedJob, wrong: dict[str, str]) -> ProvePage:
    work = at_the_stand(asked.shop.records, job.view.card.id)
    read = last_readings(job.view.state)
    told = to_prove(work)
    rows = tuple(_row(one, read.get(one.key), asked, wrong) for one in told)
    known = {row.key for row in rows} | {name for name, _, _ in LEAK}
    outside = any(row.verdict == "outside" for row in rows)
    simulated, then_read = _simulated(work, read, asked.choice) if outside else ((), "")
    ticks = tuple(Tick(name, text, f"back_{name}" in read) for name, text in BACK_TOGETHER)
    return ProvePage(
        frame=frame_of(asked, job, "Prove", Stage.PROVE),
        way_back=isinstance(work.work, Plan) and work.work.way_back is not None,
        rows=tuple(row for row in rows if not row.key.startswith(RIDDEN)),
        ridden=tuple(row for row in rows if row.key.startswith(RIDDEN)),
        leak=_leak(read.get("leak"), asked, wrong),
        ticks=ticks,
        with_bike=job.bicycle is not None,
        missing=missing_of(told, read, bike=job.bicycle is not None),
        outside=outside,
        simulated=simulated,
        then_read=then_read,
        action=address(job, "prove"),
        hand_over=address(job, "hand-over"),
        wrong=address(job, "bench/wrong"),
        by=asked.by,
        submission=asked.shop.new_id(),
        faults=tuple(text for name, text in wrong.items() if name not in known),
    )


def _simulated(work: AtTheStand, read: dict[str, Reading], choice: Choice) -> tuple[tuple[str, ...], str]:
    """Mistakes that would explain everything that was read, and what to read next."""
    found = diagnosis(work, {key: one.value for key, one in read.items() if one.value is not None})
    if found is None:
        return (), ""
    fitting = tuple(mistake_text(one.mistake, choice) for one in found.explanations if one.explains and one.mistake)
    return fitting[:MOST_SIMULATED], str(found.next_reading or "")


def last_readings(state: JobState) -> dict[str, Reading]:
    """The last reading of each kind in the proofs so far."""
    return {one.key: one for proof in _proofs(state) for one in proof.readings}


def _proofs(state: JobState) -> tuple[Proved, ...]:
    return tuple(line.payload for line in state.lines if isinstance(line.payload, Proved))


def missing_of(told: tuple[Prediction, ...], read: dict[str, Reading], *, bike: bool) -> tuple[str, ...]:
    """What is missing before a job is proven, in words."""
    keys = {one.key for one in told}
    missing = [reading_words(key)[0] for key in NEEDED if key in keys and key not in read]
    if bike:
        missing += [f"{name}: {text}" for name, text in BACK_TOGETHER if f"back_{name}" not in read]
    return tuple(missing)


def _row(told: Prediction, read: Reading | None, asked: Asked, wrong: dict[str, str]) -> ProofRow:
    name, how = reading_words(told.key)
    choice = asked.choice
    verdict, why = (None, ()) if read is None or read.value is None else judged(told, read.value)
    return ProofRow(
        key=told.key,
        name=name,
        how=how,
        predicted=quantities.number(told.value, told.quantity, choice),
        band=quantities.span(told.value - told.tolerance, told.value + told.tolerance, told.quantity, choice),
        field=number_field((told.key, name, told.quantity), choice, typed=asked.form, wrong=wrong.get(told.key, "")),
        read=_read(read, choice),
        verdict=_verdict(verdict),
        explained=tuple(EXPLAINED[code] for code in why),
        next=_next(why, told.key),
    )


def _next(why: tuple[str, ...], key: str) -> str:
    following = next((NEXT[code] for code in why if NEXT[code] != key), "")
    return reading_words(following)[0] if following else ""


def _read(read: Reading | None, choice: Choice) -> str:
    if read is None or read.value is None or read.quantity is None:
        return ""
    return quantities.number(read.value, read.quantity, choice)


def _verdict(verdict: Verdict | None) -> str:
    return "" if verdict is None else "inside" if verdict.inside else "outside"


def _leak(read: Reading | None, asked: Asked, wrong: dict[str, str]) -> LeakShown:
    fields = tuple(
        number_field((name, label, quantity), asked.choice, typed=asked.form, wrong=wrong.get(name, ""))
        for name, label, quantity in LEAK
    )
    how = reading_words("leak")[1]
    if read is None or read.value is None or read.predicted is None:
        return LeakShown(how, fields, "", "", ())
    told = Prediction("leak", Quantity.PRESSURE, read.predicted, read.predicted_u or 0.0, read.u or 0.0)
    verdict, why = judged(told, read.value)
    kept = quantities.number(read.predicted, Quantity.PRESSURE, asked.choice)
    said = f"{_read(read, asked.choice)} at the end; {kept} if nothing leaked"
    return LeakShown(how, fields, said, _verdict(verdict), tuple(EXPLAINED[code] for code in why))


def record(asked: Asked) -> Response:
    """What was read; proven where that was asked for and nothing is missing."""
    job = job_of(asked)
    work = at_the_stand(asked.shop.records, job.view.card.id)
    said = asked.submission()
    try:
        _record(asked, job, work, said)
    except (InputError, InputErrors) as error:
        return respond(_page(asked, job, faults_by_field(error)), status=422)
    return asked.done(address(job, "hand-over" if asked.form.text("then") == "proven" else "prove"))


def _record(asked: Asked, job: OpenedJob, work: AtTheStand, said: Submission) -> None:
    told = to_prove(work)
    readings = readings_of(asked.form, told, work, asked.choice)
    if job.bicycle is not None:
        _require_together(readings, last_readings(job.view.state))
    proven = asked.form.text("then") == "proven"
    if proven:
        read = last_readings(job.view.state) | {one.key: one for one in readings}
        _require_proven(told, read, asked.form, bike=job.bicycle is not None)
    if who := asked.form.text("accepted_by"):
        readings = (*readings, Reading("accepted", "Outside and accepted", f"{who}: {asked.form.text('accepted')}"))
    actions.prove(asked.shop.records, job.view.card.id, said, what=Proved(readings, proven))


def _require_proven(told: tuple[Prediction, ...], read: dict[str, Reading], form: Form, *, bike: bool) -> None:
    faults = [
        MissingValue("is missing", field=name, remedy="Read or look at it first.")
        for name in missing_of(told, read, bike=bike)
    ]
    outside = [one for one in told if one.key in read and read[one.key].passes is False]
    remedy = "Read again, put it right, or say who accepts it and why."
    for one in outside:
        if one.key in NEVER:
            stop = "Read again. If it stays, stop: let the air out, prove it empty and put it right, or refuse it."
            faults.append(MissingValue("is outside its band", field=reading_words(one.key)[0], remedy=stop))
        elif not (form.text("accepted") and form.text("accepted_by")):
            faults.append(MissingValue("is outside its band", field=reading_words(one.key)[0], remedy=remedy))
    if faults:
        raise InputErrors(tuple(_named(one) for one in faults))


def _require_together(readings: tuple[Reading, ...], before: dict[str, Reading]) -> None:
    """Nobody stands on a bike that is not back together."""
    ticked = {one.key for one in readings} | set(before)
    missing = [text for name, text in BACK_TOGETHER if f"back_{name}" not in ticked]
    stood_on = [one.key for one in readings if one.key.startswith(RIDDEN)]
    if missing and stood_on:
        rule = f"comes after the bike is back together; missing: {missing[0]}"
        raise MissingValue(rule, field=stood_on[0], remedy="Put it together, tick it off, then stand on it.")


def _named(fault: MissingValue) -> MissingValue:
    """A fault that belongs to no field, with its name in its rule."""
    return MissingValue(f"{fault.field} {fault.rule}", field=f"missing: {fault.field}", remedy=fault.remedy)


def readings_of(form: Form, told: tuple[Prediction, ...], work: AtTheStand, choice: Choice) -> tuple[Reading, ...]:
    """Everything that was read or looked at, with its verdict.

    Raises
    ------
    OutOfRange
        If something is no number.
    """
    found = []
    for one in told:
        value, said = read_si(form, one.key, one.quantity, choice)
        if value is not None:
            found.append(proof_reading(judged(one, value)[0], what=reading_words(one.key)[0], said=said))
    found += _leak_reading(form, work, choice)
    found += [
        Reading(f"back_{name}", text, YES, passes=True) for name, text in BACK_TOGETHER if form.text(f"back_{name}")
    ]
    return tuple(found)


def _leak_reading(form: Form, work: AtTheStand, choice: Choice) -> list[Reading]:
    values = {name: read_si(form, name, quantity, choice)[0] for name, _, quantity in LEAK}
    given = [value for value in values.values() if value is not None]
    if not given:
        return []
    start, warm, end, cold = (values[name] for name, _, _ in LEAK)
    if start is None or end is None or warm is None or cold is None:
        missing = next(name for name, value in values.items() if value is None)
        raise MissingValue("must be there", field=missing, remedy="A leak test needs both pressures and temperatures.")
    intake = getattr(work.work, "intake", None)
    ambient = 101_325.0 if intake is None else intake.workshop.ambient_abs
    verdict, _ = leak_judged(LeakTest(start, end, ambient, warm, cold))
    return [proof_reading(verdict, what=reading_words("leak")[0], said=form.text("leak_end"))]


ROUTES = (get("/jobs/{number}/prove", look), post("/jobs/{number}/prove", record))
