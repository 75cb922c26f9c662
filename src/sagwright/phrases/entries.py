"""An entry of a job's record in words: what happened, and what it says, line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sagwright.domain.records import payloads
from sagwright.domain.records.job import Difference
from sagwright.domain.records.stages import WaitFor
from sagwright.phrases import quantities
from sagwright.phrases.intake_labels import label, place
from sagwright.units import Choice

WAITS_FOR: Final = {
    WaitFor.OWNER: "the owner",
    WaitFor.PARTS: "parts",
    WaitFor.OTHER: "something else",
}
_PARTS: Final = {
    "findings": "findings",
    "target": "target",
    "changes": "changes",
    "kit": "tools and parts",
    "steps": "steps",
    "cautions": "cautions",
}
_VERDICTS: Final = {True: "", False: ", outside its limits", None: ""}


@dataclass(frozen=True, slots=True)
class EntryText:
    """An entry in words: a title, and lines under it."""

    title: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Telling:
    """How entries are told.

    Attributes
    ----------
    choice : Choice or None
        Units in which readings are shown, beside what was predicted; None for each as it was typed.
    titles : mapping of str to str
        What steps are called, by their keys; a step that is not in it is named by its key.
    """

    choice: Choice | None = None
    titles: Mapping[str, str] = field(default_factory=dict)

    def step(self, key: str) -> str:
        """What a step is called."""
        return self.titles.get(key, key)

    def reading(self, said: payloads.Reading) -> str:
        """A reading in words."""
        return _as_typed(said) if self.choice is None else reading_text(said, self.choice)


AS_TYPED: Final = Telling()


def entry_text(payload: payloads.Payload, telling: Telling = AS_TYPED) -> EntryText:
    """What an entry says."""
    if type(payload) in _TOLD:
        return EntryText(*_split(_TOLD[type(payload)](payload, telling)))
    return EntryText(*_split(_WORDS[type(payload)](payload)))


def entry_sentence(payload: payloads.Payload) -> str:
    """The same in one line, values as they were typed when it was made."""
    said = entry_text(payload)
    return f"{said.title}: {'; '.join(said.lines)}" if said.lines else said.title


def reading_text(reading: payloads.Reading, choice: Choice) -> str:
    """A reading in the units asked for, beside its prediction where it has one."""
    if reading.value is None or reading.quantity is None:
        return _as_typed(reading)
    shown = f"{reading.what.removesuffix('.')}: {quantities.number(reading.value, reading.quantity, choice)}"
    if reading.predicted is None:
        return f"{shown}{_VERDICTS[reading.passes]}"
    predicted = quantities.number(reading.predicted.value, reading.quantity, choice)
    return f"{shown}, predicted {predicted}: {'as planned' if reading.passes else 'outside'}"


def value_text(reading: payloads.Reading | None, choice: Choice) -> str:
    """What was read, in the units asked for; empty where it is no number, or nothing."""
    if reading is None or reading.value is None or reading.quantity is None:
        return ""
    return quantities.number(reading.value, reading.quantity, choice)


def _as_typed(said: payloads.Reading) -> str:
    return f"{said.what.removesuffix('.')}: {quantities.as_written(said.said)}{_VERDICTS[said.passes]}"


def condition_text(said: payloads.Condition) -> str:
    """Something seen, the limit it was held against, and how it stood to it."""
    verdict = {True: "within it", False: "NOT within it", None: "not judged"}[said.within]
    limit = f" (limit: {said.limit}; {verdict})" if said.limit else ""
    return f"{said.what.removesuffix('.')}{limit}"


def _split(lines: Iterator[str]) -> tuple[str, tuple[str, ...]]:
    title, *rest = lines
    return title, tuple(line for line in rest if line)


def _facts(facts: tuple[tuple[str, str], ...]) -> Iterator[str]:
    ordered = sorted(facts, key=lambda fact: place(fact[0]))
    yield from (f"{label(path)}: {quantities.as_written(text) or 'taken back'}" for path, text in ordered)


def _photos(photos: tuple[str, ...]) -> str:
    return "" if not photos else f"{len(photos)} photo{'' if len(photos) == 1 else 's'}"


def _taken_in(said: payloads.TakenIn) -> Iterator[str]:
    yield "Taken in"
    yield from _facts(said.facts)
    yield f"symptoms: {said.symptoms}" if said.symptoms else ""
    yield from (condition_text(one) for one in said.condition)
    yield f"tasks: {', '.join(said.tasks)}" if said.tasks else ""
    yield f"promised: {said.promised}" if said.promised else ""
    yield _photos(said.photos)


def _settled(said: payloads.Settled) -> Iterator[str]:
    yield "Settled"
    yield from _facts(said.facts)
    yield "" if said.symptoms is None else f"symptoms: {said.symptoms or 'taken back'}"
    yield from (condition_text(one) for one in said.condition)
    yield "" if said.tasks is None else f"tasks: {', '.join(said.tasks) or 'none'}"
    yield "another revision of the sheet" if said.sheet else ""
    yield "another bike" if said.bicycle else ""
    yield _photos(said.photos)


def _answered(said: payloads.Answered) -> Iterator[str]:
    yield f"Answered: {said.about}"
    yield f"{said.who}, {said.when}: {said.answer}"


def _decided(said: payloads.Decided) -> Iterator[str]:
    yield "Decided"
    yield f"{len(said.steps)} steps, by {said.program}"
    yield from _facts(said.facts)


def _prepared(said: payloads.Prepared) -> Iterator[str]:
    yield "Everything lies ready" if said.ready else "Partly prepared"
    yield f"{len(said.ticked)} of the kit ready"


def _started(_: payloads.Started) -> Iterator[str]:
    yield "Work at the stand"


def _passed_on(said: payloads.PassedOn) -> Iterator[str]:
    yield f"Passed on to {said.to}" if said.to else "Put down: nobody has it"


def _recorded(said: payloads.Recorded, telling: Telling) -> Iterator[str]:
    yield f"Step done: {telling.step(said.step)}"
    yield from map(telling.reading, said.readings)
    yield _photos(said.photos)


def _found_wrong(said: payloads.FoundWrong, telling: Telling) -> Iterator[str]:
    yield "Something is wrong"
    yield said.what
    yield f"at: {telling.step(said.step)}" if said.step else ""
    yield from (f"{name.replace('_', ' ')}: {value:g}" for name, value in said.found)
    yield _photos(said.photos)


def _waits(said: payloads.Waits) -> Iterator[str]:
    yield f"Waits for {WAITS_FOR[said.reason]}"
    yield said.what
    yield f"amount: {said.amount}" if said.amount else ""
    yield f"a yes adds: {', '.join(said.tasks)}" if said.tasks else ""


def _resumed(said: payloads.Resumed) -> Iterator[str]:
    yield {True: "Goes on: yes", False: "Goes on: no", None: "Goes on"}[said.yes]
    about = ", ".join(part for part in (said.who, said.when) if part)
    yield ": ".join(part for part in (about, said.answer) if part)


def _proved(said: payloads.Proved, telling: Telling) -> Iterator[str]:
    yield "Proven" if said.proven else "Readings as left, not proven yet"
    yield from map(telling.reading, said.readings)


def _handed_over(said: payloads.HandedOver) -> Iterator[str]:
    yield "Handed over"
    yield f"{'accepted' if said.accepted else 'not accepted'}{f', {said.how}' if said.how else ''}"
    yield said.checks
    yield f"to come back: {said.come_back}" if said.come_back else ""


def _turned_away(said: payloads.TurnedAway) -> Iterator[str]:
    yield "Scrapped: not fit to be used again" if said.scrapped else "Refused"
    yield said.reason
    yield _photos(said.photos)


def _promised(said: payloads.Promised) -> Iterator[str]:
    yield f"Promised for {said.promised}" if said.promised else "No day promised any more"


def _noted(said: payloads.Noted) -> Iterator[str]:
    yield "Note"
    yield said.text
    yield _photos(said.photos)


def _withdrawn(said: payloads.Withdrawn) -> Iterator[str]:
    yield "Withdrawn"
    yield said.reason


_WORDS: Final[dict[type, Callable[[Any], Iterator[str]]]] = {
    payloads.TakenIn: _taken_in,
    payloads.Settled: _settled,
    payloads.Answered: _answered,
    payloads.Decided: _decided,
    payloads.Prepared: _prepared,
    payloads.Started: _started,
    payloads.PassedOn: _passed_on,
    payloads.Waits: _waits,
    payloads.Resumed: _resumed,
    payloads.HandedOver: _handed_over,
    payloads.TurnedAway: _turned_away,
    payloads.Promised: _promised,
    payloads.Noted: _noted,
    payloads.Withdrawn: _withdrawn,
}
_TOLD: Final[dict[type, Callable[[Any, Telling], Iterator[str]]]] = {
    payloads.Recorded: _recorded,
    payloads.FoundWrong: _found_wrong,
    payloads.Proved: _proved,
}
"""Entries that name a step, or have readings."""


def difference_text(difference: Difference) -> str:
    """That a program computes something else from what was recorded than what was decided."""
    holds = f"what was decided with {difference.decided_by} holds."
    if not difference.parts:
        return f"{difference.computed_by} can make no plan of what was recorded then; {holds}"
    *others, last = (_PARTS[part] for part in difference.parts)
    named = f"{', '.join(others)} and {last}" if others else last
    return f"{difference.computed_by} computes something else from what was recorded then ({named}); {holds}"
