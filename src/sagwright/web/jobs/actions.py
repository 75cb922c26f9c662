"""The small forms of a job's page: what each asks, when it is offered, and what it records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import DueDateSet, Noted, PassedOn, Payload, PutOnHold, Resumed, WorkRefused
from sagwright.domain.records.stages import HoldReason
from sagwright.domain.records.text import require_day
from sagwright.errors import InputError
from sagwright.phrases.entries import WAITS_FOR
from sagwright.web.http.form import Box, Form, pick_buttons

Says = Callable[[Form, str, tuple[str, ...]], Payload]
"""What a form says, who sends it, and the ids of its photos → what is recorded."""


@dataclass(frozen=True, slots=True)
class JobForm:
    """One small form.

    Attributes
    ----------
    name, title, button : str
    fields : tuple of Box
        As they are before anyone typed.
    says : callable
    offered : callable
        Whether it makes sense for a job as it stands.
    photos : bool
        Whether photos may be handed in with it.
    warning : str
        What it cannot be undone from.
    done : str
        What is said afterwards.
    """

    name: str
    title: str
    button: str
    fields: tuple[Box, ...]
    says: Says
    offered: Callable[[JobState], bool]
    done: str
    photos: bool = False
    warning: str = ""


_REASONS: Final = {reason.value: text for reason, text in WAITS_FOR.items()}
_YES: Final = {"yes": "yes", "no": "no", "": "not a yes-or-no question"}


def day_of(form: Form, field: str) -> str:
    """A day as a form has it, year-month-day, or nothing.

    Raises
    ------
    OutOfRange
    """
    text = form.text(field)
    require_day(text, field, needed=False)
    return text


def _wait(form: Form, _: str, __: tuple[str, ...]) -> Payload:
    reason = form.text("reason")
    if reason not in _REASONS:
        raise InputError("must be chosen", field="reason", remedy="Choose what it waits for.")
    return PutOnHold(HoldReason(reason), form.text("what"), form.text("amount"))


def _resume(form: Form, _: str, __: tuple[str, ...]) -> Payload:
    yes = {"yes": True, "no": False}.get(form.text("yes"))
    return Resumed(form.text("answer"), form.text("who"), form.text("when"), yes)


def _refuse(form: Form, _: str, photos: tuple[str, ...]) -> Payload:
    return WorkRefused(form.text("reason"), form.text("scrapped") == "yes", photos)


def _open(state: JobState) -> bool:
    return not state.closed


ACTS: Final = (
    JobForm(
        "take",
        "Take over the job",
        "I have it",
        (),
        lambda _form, by, _photos: PassedOn(by),
        _open,
        "The job is with you",
    ),
    JobForm(
        "pass-on",
        "Pass on",
        "Pass on",
        (Box("to", "to", hint="A name; empty for nobody."),),
        lambda form, _by, _photos: PassedOn(form.text("to")),
        _open,
        "Passed on",
    ),
    JobForm(
        "due",
        "Set the due date",
        "Set",
        (Box("due", "day", "day", hint="Leave it empty for no due date."),),
        lambda form, _by, _photos: DueDateSet(form.text("due") or None),
        _open,
        "Due",
    ),
    JobForm(
        "hold",
        "Hold",
        "Put on hold",
        (
            Box("reason", "for", "picks", picks=pick_buttons(_REASONS, "")),
            Box("what", "what exactly is missing", hint="Like: yes to new bushings; wipers 35 mm, ordered Tuesday."),
            Box("amount", "amount, if it costs something", hint="In words, with its currency."),
        ),
        _wait,
        lambda state: not state.closed and state.on_hold is None,
        "On hold",
    ),
    JobForm(
        "resume",
        "Resume",
        "Resume",
        (
            Box("yes", "the answer", "picks", picks=pick_buttons(_YES, "")),
            Box("answer", "what was answered, or arrived"),
            Box("who", "who answered"),
            Box("when", "when", "day"),
        ),
        _resume,
        lambda state: state.on_hold is not None,
        "Resumed",
    ),
    JobForm(
        "note",
        "Note",
        "Add the note",
        (Box("text", "note", "lines"),),
        lambda form, _by, photos: Noted(form.raw("text").strip(), photos),
        lambda _: True,
        "Noted",
        photos=True,
    ),
    JobForm(
        "refuse",
        "Refuse or scrap",
        "Refuse the job",
        (
            Box("reason", "reason", "lines", hint="What was found, and what it means for whoever rides it."),
            Box("scrapped", "not fit to be used again: scrap", "tick"),
        ),
        _refuse,
        _open,
        "Refused",
        photos=True,
        warning="This ends the job: afterwards only notes can be added.",
    ),
)


def filled(act: JobForm, form: Form, wrongs: Mapping[str, str]) -> tuple[Box, ...]:
    """An act's fields with what was typed, and what is wrong with it."""
    first = next((box.name for box in act.fields if box.name in wrongs), "")
    return tuple(_filled(box, form, wrongs, first=box.name == first, scope=act.name) for box in act.fields)


def _filled(box: Box, form: Form, wrongs: Mapping[str, str], *, first: bool, scope: str) -> Box:
    value = form.raw(box.name)
    return replace(
        box,
        value=value,
        wrong=wrongs.get(box.name, ""),
        picks=pick_buttons({pick.value: pick.text for pick in box.picks}, value if form.has(box.name) else "?"),
        first=first,
        scope=scope,
    )
