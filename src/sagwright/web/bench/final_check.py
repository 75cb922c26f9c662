"""Readings as left against what the plan predicted, and the bike back together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.diagnosis import ACCEPTED, BACK, LEAK, RIDDEN, CheckResult, Prediction
from sagwright.domain.records.evidence import YES
from sagwright.domain.records.payloads import FinalChecked, Reading
from sagwright.domain.records.stages import Stage
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors
from sagwright.phrases import quantities
from sagwright.phrases.diagnosis import BACK_TOGETHER, EXPLAINED, final_check_words, mistake_text, reading_words
from sagwright.phrases.entries import value_text
from sagwright.service.bench.final_check import (
    NEXT,
    Typed,
    diagnosis,
    final_readings,
    judge_reading,
    last_readings,
    missing_keys,
    readings_due,
    to_read,
)
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.action_rules import require_permitted, stages_for
from sagwright.service.jobs.queries import OpenedJob
from sagwright.units import UnitChoice
from sagwright.web.bench.frame import Hold, address, held
from sagwright.web.bench.step_fields import number_field, read_si
from sagwright.web.http.form import Form, Pick, field_errors_of
from sagwright.web.http.number_field import NumberField
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import job_frame, job_of

MOST_SIMULATED: Final = 5
LEAK_LABELS: Final = {
    "leak_start": "pressure at the start",
    "leak_from": "temperature at the start",
    "leak_end": "pressure at the end",
    "leak_to": "temperature at the end",
}


@dataclass(frozen=True, slots=True)
class FinalReadingRow:
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
class LeakShown:
    """The leak test: how, its fields, and what it said."""

    how: str
    fields: tuple[NumberField, ...]
    result: str
    verdict: str
    explained: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinalCheckPage(Page):
    """The proof.

    Attributes
    ----------
    way_back : bool
        Whether the wish turned out impossible, and the unit was only closed again.
    rows, ridden : tuple of FinalReadingRow
        In order; those for which somebody stands on the bike, which is back together by then.
    leak : LeakShown
    ticks : tuple of Pick
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
    submission : str
    faults : tuple of str
    """

    template: ClassVar[str] = "bench/final_check.html"

    way_back: bool
    rows: tuple[FinalReadingRow, ...]
    ridden: tuple[FinalReadingRow, ...]
    leak: LeakShown
    ticks: tuple[Pick, ...]
    with_bike: bool
    missing: tuple[str, ...]
    outside: bool
    simulated: tuple[str, ...]
    then_read: str
    submission: str
    faults: tuple[str, ...]


def _show(asked: PageRequest) -> Response:
    """The readings in order."""
    job = job_of(asked)
    if job.view.card.stage not in stages_for(FinalChecked) or job.view.card.on_hold:
        said = ("The final check is not due yet.", "Finish every step at the bench first.")
        return held(
            asked, job, "Final check", Hold(said, ways=(Link("Bench", address(job, "bench")),)), on=Stage.FINAL_CHECK
        )
    return respond(_page(asked, job, {}))


def _page(asked: PageRequest, job: OpenedJob, wrong: dict[str, str]) -> FinalCheckPage:
    work = bench_state(asked.shop.records, job.view.card.id)
    read = last_readings(job.view.state)
    told = readings_due(work)
    rows = tuple(_row(one, read.get(one.key), asked, wrong) for one in told)
    intake_questions = to_read(work)
    outside = any(row.verdict == "outside" for row in rows)
    simulated, then_read = _simulated(work, read, asked.choice) if outside else ((), "")
    ticks = tuple(Pick(name, text, chosen=f"{BACK}{name}" in read) for name, text in BACK_TOGETHER.items())
    return FinalCheckPage(
        frame=job_frame(asked, job, "Final check", Stage.FINAL_CHECK),
        way_back=work.plan.reassembly is not None,
        rows=tuple(row for row in rows if not row.key.startswith(RIDDEN)),
        ridden=tuple(row for row in rows if row.key.startswith(RIDDEN)),
        leak=_leak(read.get("leak"), asked, wrong),
        ticks=ticks,
        with_bike=job.bicycle is not None,
        missing=tuple(_named(key) for key in missing_keys(work, read)),
        outside=outside,
        simulated=simulated,
        then_read=then_read,
        submission=asked.shop.new_id(),
        faults=tuple(f"{_named(name)}: {text}" if name in intake_questions else text for name, text in wrong.items()),
    )


def _simulated(work: BenchState, read: dict[str, Reading], choice: UnitChoice) -> tuple[tuple[str, ...], str]:
    """Mistakes that would explain everything that was read, and what to read next."""
    found = diagnosis(work, {key: one.value for key, one in read.items() if one.value is not None})
    if found is None:
        return (), ""
    fitting = tuple(mistake_text(one.mistake, choice) for one in found.explanations if one.explains and one.mistake)
    return fitting[:MOST_SIMULATED], str(found.next_reading or "")


def _row(told: Prediction, read: Reading | None, asked: PageRequest, wrong: dict[str, str]) -> FinalReadingRow:
    name, how = reading_words(told.key)
    choice, value = asked.choice, told.predicted.value
    verdict, why = (None, ()) if read is None or read.value is None else judge_reading(told, read.value)
    return FinalReadingRow(
        key=told.key,
        name=name,
        how=how,
        predicted=quantities.number_text(value, told.quantity, choice),
        band=quantities.span(value - told.tolerance, value + told.tolerance, told.quantity, choice),
        field=number_field((told.key, name, told.quantity), choice, typed=asked.form, wrong=wrong.get(told.key, "")),
        read=value_text(read, choice),
        verdict=_verdict(verdict),
        explained=tuple(EXPLAINED[code] for code in why),
        next=_next(why, told.key),
    )


def _next(why: tuple[str, ...], key: str) -> str:
    following = next((NEXT[code] for code in why if NEXT[code] != key), "")
    return reading_words(following)[0] if following else ""


def _verdict(verdict: CheckResult | None) -> str:
    return "" if verdict is None else "inside" if verdict.inside else "outside"


def _leak(read: Reading | None, asked: PageRequest, wrong: dict[str, str]) -> LeakShown:
    fields = tuple(
        number_field((name, LEAK_LABELS[name], quantity), asked.choice, typed=asked.form, wrong=wrong.get(name, ""))
        for name, quantity in LEAK.items()
    )
    how = reading_words("leak")[1]
    if read is None or read.value is None or read.predicted is None:
        return LeakShown(how, fields, "", "", ())
    told = Prediction("leak", Quantity.PRESSURE, read.predicted, read.u or 0.0)
    verdict, why = judge_reading(told, read.value)
    kept = quantities.number_text(read.predicted.value, Quantity.PRESSURE, asked.choice)
    said = f"{value_text(read, asked.choice)} at the end; {kept} if nothing leaked"
    return LeakShown(how, fields, said, _verdict(verdict), tuple(EXPLAINED[code] for code in why))


def record(asked: PageRequest) -> Response:
    """What was read; proven where that was asked for and nothing is missing."""
    job, store = job_of(asked), asked.shop.records
    require_permitted(job.view.state, FinalChecked)
    passed = asked.form.text("then") == "passed"
    work = bench_state(store, job.view.card.id)
    try:
        readings = final_readings(work, _typed(asked.form, work, asked.choice), final_check_words)
        actions.record(store, job.view.card.id, asked.submission(), what=FinalChecked(readings, passed))
    except (InputError, InputErrors) as error:
        return respond(_page(asked, job, field_errors_of(error, asked.choice)), status=422)
    return to(address(job, "hand-over" if passed else "final-check"))


def _typed(form: Form, work: BenchState, choice: UnitChoice) -> dict[str, Typed]:
    """What was typed and ticked, by its key.

    Raises
    ------
    OutOfRange
        If something is no number.
    """
    typed = {}
    for key, quantity in to_read(work).items():
        if quantity is not None:
            value, said = read_si(form, key, quantity, choice)
            if value is not None:
                typed[key] = Typed(said, value)
        elif key.startswith(BACK) and form.text(key):
            typed[key] = Typed(YES)
    if who := form.text("accepted_by"):
        typed[ACCEPTED] = Typed(f"{who}: {form.text('accepted')}")
    return typed


def _named(key: str) -> str:
    """What is read or looked at, in words."""
    if key in LEAK:
        return f"{reading_words('leak')[0]}, {LEAK_LABELS[key]}"
    name = f"{key.removeprefix(BACK)}: " if key.startswith(BACK) else ""
    return name + final_check_words(key)


ROUTES = (get("/jobs/{number}/final-check", _show), post("/jobs/{number}/final-check", record))
