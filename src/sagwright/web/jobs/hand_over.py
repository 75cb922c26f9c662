"""What the customer and the technician get: asked, done, found and left, how it stands and rides, what to look at
next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Final

from markupsafe import Markup
from starlette.responses import Response

from sagwright.domain.item import Caution
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import HandedOver, ProblemFound, Reading, StepDone, WorkRefused
from sagwright.domain.records.stages import CLOSED, Stage
from sagwright.domain.value import Quantity
from sagwright.drawing.cutaway.layout import legs_of
from sagwright.errors import MissingValue
from sagwright.phrases import quantities
from sagwright.phrases.changes import ChangeText
from sagwright.phrases.entries import reading_text, value_text
from sagwright.phrases.spring import friction_text, pressure_text, setup_text
from sagwright.phrases.steps import title
from sagwright.service.bench.final_check import last_readings
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.calculators import insides
from sagwright.service.jobs import actions
from sagwright.service.jobs.queries import OpenedJob
from sagwright.service.plan import CAUTIONS
from sagwright.units import UnitChoice
from sagwright.web.bench.frame import Hold, address, held
from sagwright.web.counter.questions import TASKS
from sagwright.web.drawings import cutaway_drawing
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import job_frame, job_of

AFTER_RIDES: Final = (
    (
        "After the first ride, read the pressure topped out with the same pump. Taking a pump off and on costs 1 to "
        "3 % by itself."
    ),
    (
        "After two or three rides, look at both feet and the wipers for oil, and whether axle, pinch and caliper bolts "
        "are tight."
    ),
    "Listen for a knock at top-out or under braking. If there is one, stop riding and bring it back.",
)
"""What the rider looks at after the first rides: common practice, no source."""

COME_BACK: Final = (
    "Lower legs after 30 to 50 hours of riding, the air spring after 50 to 100, the damper after 100 to 200 or yearly; "
    "half of that in wet, park and motor use. The maker's intervals win."
)
"""Common practice, no source."""

_NOTHING: Final = frozenset({"", "yes", "no", "none", "nothing", "no.", "none.", "good", "not good", "photo", "-", "–"})
"""Answers that say nothing was found, or that a page shows elsewhere."""
_INSIDE: Final = "found_"
"""What the keys of readings begin with that say what was inside: a setting, not a finding."""
RIDERS: Final = CAUTIONS[:2]
"""What still holds for whoever rides a bike that is back together; the others are for whoever works on it."""
WHO: Final = ("the customer, in person", "the customer, by telephone", "the customer, in writing")


@dataclass(frozen=True, slots=True)
class Ended:
    """How the job ended: in words, by whom and when; all empty while it is open. Whether the customer accepted it."""

    text: str = ""
    by: str = ""
    at: str = ""
    accepted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOverPage(Page):
    """The page that goes with the unit.

    Attributes
    ----------
    customer, unit, number : str
    wishes : tuple of str
        What was asked, and what the customer said of it.
    done, found : tuple of str
        What was done; what was found and left.
    settings : tuple of ChangeText
    rides : tuple of str
        How it stands and rides, in plain words.
    final_check : tuple of str
        The readings as left.
    drawing : Markup
    after : tuple of str
        What to look at after the first rides.
    come_back : str
    cautions : tuple of Caution
    ended : Ended
    ways : tuple of Link
    whom : tuple of str
        Who may accept.
    submission : str
    ready : bool
        Whether it can be handed over now.
    """

    template: ClassVar[str] = "jobs/hand_over.html"

    customer: str
    unit: str
    number: str
    wishes: tuple[str, ...]
    done: tuple[str, ...]
    found: tuple[str, ...]
    settings: tuple[ChangeText, ...]
    rides: tuple[str, ...]
    final_check: tuple[str, ...]
    drawing: Markup
    after: tuple[str, ...]
    come_back: str
    cautions: tuple[Caution, ...]
    ended: Ended
    ways: tuple[Link, ...]
    whom: tuple[str, ...]
    submission: str
    ready: bool


def _show(asked: PageRequest) -> Response:
    """The page, before and after it is accepted."""
    job = job_of(asked)
    stage = job.view.card.stage
    if (stage is not Stage.HAND_OVER and stage not in CLOSED) or job.view.state.decision is None:
        said = ("Nothing is to be handed over yet.", "Finish the work and the final check first.")
        ways = (Link("Final check", address(job, "final-check")), Link("Tag", address(job, "tag")))
        return held(asked, job, "Hand over", Hold(said, ways=ways), on=Stage.HAND_OVER)
    return respond(_page(asked, job, bench_state(asked.shop.records, job.view.card.id)))


def _page(asked: PageRequest, job: OpenedJob, work: BenchState) -> HandOverPage:
    state, choice = job.view.state, asked.choice
    together = any(one.startswith("back_") for one in last_readings(state))
    serial = f", no. {job.unit.serial}" if job.unit.serial else ""
    return HandOverPage(
        frame=job_frame(asked, job, "Hand over", Stage.HAND_OVER),
        customer=job.customer.name or "erased",
        unit=f"{work.sheet.maker} {work.sheet.model}, chassis {job.unit.chassis}{serial}",
        number=str(job.view.card.number),
        wishes=_asked_for(state),
        done=tuple(title(step, work.sheet) for step in work.done),
        found=_found(state),
        settings=_settings(state, work, choice),
        rides=_rides(work, choice),
        final_check=tuple(reading_text(one, choice) for one in last_readings(state).values()),
        drawing=_drawing(work, choice),
        after=AFTER_RIDES,
        come_back=COME_BACK,
        cautions=tuple(one for one in CAUTIONS if one in RIDERS or not together),
        ended=_ended(job),
        ways=(Link("History of this unit", f"/units/{job.unit.id}"), Link("Log", address(job, "log"))),
        whom=WHO,
        submission=asked.shop.new_id(),
        ready=job.view.card.stage is Stage.HAND_OVER and not job.view.card.on_hold,
    )


def _asked_for(state: JobState) -> tuple[str, ...]:
    travel = state.fact("wish.travel")
    wish = [f"{travel} of travel"] if travel else []
    tasks = (TASKS.get(one, one) for one in state.tasks)
    return tuple(filter(None, (*wish, *tasks, state.symptoms)))


def _found(state: JobState) -> tuple[str, ...]:
    held_back = [one.what for one in state.condition if one.within is False]
    found = [line.payload.what for line in state.lines if isinstance(line.payload, ProblemFound)]
    return (*held_back, *_in_words(state), *found)


def _in_words(state: JobState) -> Iterator[str]:
    """What was written of looks at the stand, but for what says that there is nothing."""
    for line in state.lines:
        for one in _readings(line.payload):
            said = one.as_typed.strip().removeprefix("yes:").strip()
            if one.quantity is None and said.lower() not in _NOTHING and not one.key.startswith(_INSIDE):
                yield f"{one.what.removesuffix('.')}: {said}"


def _settings(state: JobState, work: BenchState, choice: UnitChoice) -> tuple[ChangeText, ...]:
    """As found and as left, from the plan and from what was read at the stand."""
    rows = []
    if (target := work.plan.target) is not None:
        found, left = work.plan.work.as_found, target.setup
        rows.append(ChangeText("inside", setup_text(found, choice), setup_text(left, choice)))
        rows.append(ChangeText("pressure, as planned", pressure_text(found, choice), pressure_text(left, choice)))
    read = {one.key: one for line in state.lines for one in _readings(line.payload)}
    for name, before, after in (
        ("pressure, as read", "pressure_found", "pressure_left"),
        ("rebound, clicks from closed", "rebound_found", "rebound_left"),
        ("compression, clicks from closed", "compression_found", "compression_left"),
    ):
        if before in read or after in read:
            rows.append(ChangeText(name, _shown(read.get(before), choice), _shown(read.get(after), choice)))
    return tuple(rows)


def _readings(payload: object) -> tuple[Reading, ...]:
    return payload.readings if isinstance(payload, StepDone) else ()


def _shown(reading: Reading | None, choice: UnitChoice) -> str:
    return "not read" if reading is None else value_text(reading, choice) or quantities.as_written(reading.as_typed)


def _rides(work: BenchState, choice: UnitChoice) -> tuple[str, ...]:
    if work.plan.reassembly is not None:
        return ("What was wished is not possible with what was found. It was only closed again.",)
    selection, target = work.plan.selection, work.plan.target
    if selection is None or target is None:
        return ("How it rides was not computed. What was set stands under the settings.",)
    behaviour = target.behaviour
    lines = [f"{quantities.number_text(target.travel, Quantity.LENGTH, choice)} of travel."]
    if selection.intake.rider is not None:
        sag = quantities.number_text(behaviour.sag.value, Quantity.LENGTH, choice)
        lines.append(f"With the rider standing it sinks {sag}, {behaviour.sag_fraction.value:.0%} of its travel.")
    if selection.spring.target_friction is not None:
        lines.append(f"Friction: {friction_text(selection.spring.target_friction, choice)}.")
    energy = quantities.number_text(behaviour.capacity.value, Quantity.ENERGY, choice)
    lines.append(f"It takes up {energy} before it bottoms out.")
    return tuple(lines)


def _drawing(work: BenchState, choice: UnitChoice) -> Markup:
    selection = work.plan.selection
    if selection is None or selection.target is None or not (legs := legs_of(insides(selection), "as left")):
        return Markup("")
    return cutaway_drawing(legs, choice, "left")


def _ended(job: OpenedJob) -> Ended:
    for line in reversed(job.view.state.lines):
        at = line.entry.at.strftime("%Y-%m-%d %H:%M")
        if isinstance(line.payload, HandedOver):
            whom = line.payload.how
            if whom in WHO:
                whom = whom.replace("the customer", job.customer.name or "the customer")
            how = f"{'Accepted' if line.payload.accepted else 'Taken back, not accepted'}: {whom}."
            again = f" Come back by {line.payload.come_back}." if line.payload.come_back else ""
            return Ended(how + again, line.entry.by, at, line.payload.accepted)
        if isinstance(line.payload, WorkRefused):
            word = "Scrapped" if line.payload.scrapped else "Refused"
            return Ended(f"{word}: {line.payload.reason}", line.entry.by, at)
    return Ended()


def accept(asked: PageRequest) -> Response:
    """The customer accepts, or takes it back without."""
    job, form = job_of(asked), asked.form
    how = form.text("how") or form.text("other")
    accepted = form.text("accepted") == "yes"
    if not accepted and form.text("accepted") != "no":
        raise MissingValue("must be chosen", field="accepted", remedy="Did the customer accept?")
    what = HandedOver(accepted, how, form.text("checks"), form.text("come_back") or None)
    actions.record(asked.shop.records, job.view.card.id, asked.submission(), what=what)
    return to(address(job, "hand-over"))


ROUTES = (get("/jobs/{number}/hand-over", _show), post("/jobs/{number}/hand-over", accept))
