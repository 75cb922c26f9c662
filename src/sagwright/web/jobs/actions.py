"""The small forms of a job's page: what each asks, when it is offered, and what it records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Noted, PassedOn, Promised, Resumed, TurnedAway, Waits
from sagwright.domain.records.stages import WaitFor
from sagwright.domain.records.text import require_day
from sagwright.errors import InputError
from sagwright.phrases.entries import WAITS_FOR
from sagwright.service.jobs import actions
from sagwright.service.workshop.records import Workshop
from sagwright.web.http.form import Box, Form, picks

Do = Callable[[Workshop, str, Submission, Form, tuple[str, ...]], object]
"""Records what a form says on a job, with the ids of its photos."""


@dataclass(frozen=True, slots=True)
class Act:
    """One small form.

    Attributes
    ----------
    name, title, button : str
    fields : tuple of Box
        As they are before anyone typed.
    do : callable
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
    do: Do
    offered: Callable[[JobState], bool]
    done: str
    photos: bool = False
    warning: str = ""


_REASONS: Final = {reason.value: text for reason, text in WAITS_FOR.items()}
_YES: Final = {"yes": "yes", "no": "no", "": "neither"}


def day_of(form: Form, field: str) -> str:
    """A day as a form has it, year-month-day, or nothing.

    Raises
    ------
    OutOfRange
    """
    text = form.text(field)
    require_day(text, field, needed=False)
    return text


def _wait(store: Workshop, job: str, said: Submission, form: Form, _: tuple[str, ...]) -> object:
    reason = form.text("reason")
    if reason not in _REASONS:
        raise InputError("must be chosen", field="reason", remedy="Choose what it waits for.")
    what = Waits(WaitFor(reason), form.text("what"), form.text("amount"))
    return actions.record(store, job, said, what=what)


def _resume(store: Workshop, job: str, said: Submission, form: Form, _: tuple[str, ...]) -> object:
    yes = {"yes": True, "no": False}.get(form.text("yes"))
    what = Resumed(form.text("answer"), form.text("who"), form.text("when"), yes)
    return actions.record(store, job, said, what=what)


def _pass_on(store: Workshop, job: str, said: Submission, form: Form, _: tuple[str, ...]) -> object:
    return actions.record(store, job, said, what=PassedOn(form.text("to")))


def _take(store: Workshop, job: str, said: Submission, _: Form, __: tuple[str, ...]) -> object:
    return actions.record(store, job, said, what=PassedOn(said.by))


def _promise(store: Workshop, job: str, said: Submission, form: Form, _: tuple[str, ...]) -> object:
    return actions.record(store, job, said, what=Promised(form.text("promised") or None))


def _refuse(store: Workshop, job: str, said: Submission, form: Form, photos: tuple[str, ...]) -> object:
    what = TurnedAway(form.text("reason"), form.text("scrapped") == "yes", photos)
    return actions.record(store, job, said, what=what)


def _note(store: Workshop, job: str, said: Submission, form: Form, photos: tuple[str, ...]) -> object:
    return actions.record(store, job, said, what=Noted(form.raw("text").strip(), photos))


def _open(state: JobState) -> bool:
    return not state.closed


ACTS: Final = (
    Act("take", "Take it in hand", "I have it", (), _take, _open, "You have it"),
    Act(
        "pass-on",
        "Pass on",
        "Pass on",
        (Box("to", "to", hint="A name; nobody if left empty."),),
        _pass_on,
        _open,
        "Passed on",
    ),
    Act(
        "promise",
        "Promise a day",
        "Promise",
        (Box("promised", "day", "day", hint="Left empty it takes the promise back."),),
        _promise,
        _open,
        "Promised",
    ),
    Act(
        "wait",
        "Wait",
        "Let it wait",
        (
            Box("reason", "for", "picks", picks=picks(_REASONS, "")),
            Box("what", "what exactly", hint="Like: yes to new bushings; wipers 35 mm, ordered Tuesday."),
            Box("amount", "amount, if it costs something", hint="In words, with its currency."),
        ),
        _wait,
        lambda state: not state.closed and state.waiting is None,
        "It waits",
    ),
    Act(
        "resume",
        "Go on",
        "Go on",
        (
            Box("yes", "the answer", "picks", picks=picks(_YES, "")),
            Box("answer", "what was said or came"),
            Box("who", "who said so"),
            Box("when", "when", "day"),
        ),
        _resume,
        lambda state: state.waiting is not None,
        "It goes on",
    ),
    Act(
        "note",
        "Note",
        "Add the note",
        (Box("text", "note", "lines"),),
        _note,
        lambda _: True,
        "Noted",
        photos=True,
    ),
    Act(
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


def filled(act: Act, form: Form, wrongs: Mapping[str, str]) -> tuple[Box, ...]:
    """An act's fields with what was typed, and what is wrong with it."""
    first = next((box.name for box in act.fields if box.name in wrongs), "")
    return tuple(_filled(box, form, wrongs, first=box.name == first, scope=act.name) for box in act.fields)


def _filled(box: Box, form: Form, wrongs: Mapping[str, str], *, first: bool, scope: str) -> Box:
    value = form.raw(box.name)
    return replace(
        box,
        value=value,
        wrong=wrongs.get(box.name, ""),
        picks=picks({pick.value: pick.text for pick in box.picks}, value if form.has(box.name) else "?"),
        first=first,
        scope=scope,
    )
