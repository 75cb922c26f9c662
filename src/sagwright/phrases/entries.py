"""An entry of a job's log in words: a title for what happened, then its details line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sagwright.domain.records import payloads
from sagwright.domain.records.job import Difference
from sagwright.domain.records.stages import HoldReason
from sagwright.phrases import quantities
from sagwright.phrases.intake_labels import fact_label, fact_order
from sagwright.units import UnitChoice

WAITS_FOR: Final = {
    HoldReason.CUSTOMER: "the customer",
    HoldReason.PARTS: "parts",
    HoldReason.OTHER: "something else",
}
_PARTS: Final = {
    "findings": "findings",
    "target": "target",
    "changes": "changes",
    "tools_and_parts": "tools and parts",
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
class EntryWording:
    """In which units and under which step titles entries are worded.

    Attributes
    ----------
    choice : UnitChoice or None
        Units in which readings are shown, beside what was predicted; None for each as it was typed.
    titles : mapping of str to str
        What steps are called, by their keys; a step that is not in it is named by its key.
    """

    choice: UnitChoice | None = None
    titles: Mapping[str, str] = field(default_factory=dict)

    def step(self, key: str) -> str:
        """The title of a step, from its key."""
        return self.titles.get(key, key)

    def reading(self, said: payloads.Reading) -> str:
        """A reading in words."""
        return _as_typed(said) if self.choice is None else reading_text(said, self.choice)


AS_TYPED: Final = EntryWording()


def entry_text(payload: payloads.Payload, telling: EntryWording = AS_TYPED) -> EntryText:
    """The title and the details of an entry."""
    if type(payload) in _TOLD:
        return EntryText(*_split(_TOLD[type(payload)](payload, telling)))
    return EntryText(*_split(_WORDS[type(payload)](payload)))


def entry_sentence(payload: payloads.Payload) -> str:
    """An entry in one line, values as they were typed when it was made."""
    said = entry_text(payload)
    return f"{said.title}: {'; '.join(said.lines)}" if said.lines else said.title


def reading_text(reading: payloads.Reading, choice: UnitChoice) -> str:
    """A reading in the units asked for, beside its prediction where it has one."""
    if reading.value is None or reading.quantity is None:
        return _as_typed(reading)
    shown = f"{reading.what.removesuffix('.')}: {quantities.number_text(reading.value, reading.quantity, choice)}"
    if reading.predicted is None:
        return f"{shown}{_VERDICTS[reading.within_limits]}"
    predicted = quantities.number_text(reading.predicted.value, reading.quantity, choice)
    return f"{shown}, predicted {predicted}: {'within tolerance' if reading.within_limits else 'outside tolerance'}"


def value_text(reading: payloads.Reading | None, choice: UnitChoice) -> str:
    """The number that was read, in the units asked for; empty where nothing or no number was read."""
    if reading is None or reading.value is None or reading.quantity is None:
        return ""
    return quantities.number_text(reading.value, reading.quantity, choice)


def _as_typed(said: payloads.Reading) -> str:
    return f"{said.what.removesuffix('.')}: {quantities.as_written(said.as_typed)}{_VERDICTS[said.within_limits]}"


def condition_text(said: payloads.Condition) -> str:
    """Something seen, the limit it was held against, and how it stood to it."""
    verdict = {True: "within it", False: "NOT within it", None: "not judged"}[said.within]
    limit = f" (limit: {said.limit}; {verdict})" if said.limit else ""
    return f"{said.what.removesuffix('.')}{limit}"


def _split(lines: Iterator[str]) -> tuple[str, tuple[str, ...]]:
    title, *rest = lines
    return title, tuple(line for line in rest if line)


def _facts(facts: tuple[tuple[str, str], ...]) -> Iterator[str]:
    ordered = sorted(facts, key=lambda fact: fact_order(fact[0]))
    yield from (f"{fact_label(path)}: {quantities.as_written(text) or 'taken back'}" for path, text in ordered)


def _photos(photos: tuple[str, ...]) -> str:
    return "" if not photos else f"{len(photos)} photo{'' if len(photos) == 1 else 's'}"


def _checked_in(said: payloads.CheckedIn) -> Iterator[str]:
    yield "Checked in"
    yield from _facts(said.facts)
    yield f"symptoms: {said.symptoms}" if said.symptoms else ""
    yield from (condition_text(one) for one in said.condition)
    yield f"tasks: {', '.join(said.tasks)}" if said.tasks else ""
    yield f"due: {said.due}" if said.due else ""
    yield _photos(said.photos)


def _settled(said: payloads.IntakeUpdated) -> Iterator[str]:
    yield "Intake updated"
    yield from _facts(said.facts)
    yield "" if said.symptoms is None else f"symptoms: {said.symptoms or 'deleted'}"
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
    yield "All tools and parts ready" if said.ready else "Some tools and parts missing"
    yield f"{len(said.ticked)} tools and parts ticked"


def _started(_: payloads.Started) -> Iterator[str]:
    yield "Work started"


def _passed_on(said: payloads.PassedOn) -> Iterator[str]:
    yield f"Passed on to {said.to}" if said.to else "With nobody"


def _recorded(said: payloads.StepDone, telling: EntryWording) -> Iterator[str]:
    yield f"Step done: {telling.step(said.step)}"
    yield from map(telling.reading, said.readings)
    yield _photos(said.photos)


def _found_wrong(said: payloads.ProblemFound, telling: EntryWording) -> Iterator[str]:
    yield "Problem found"
    yield said.what
    yield f"at: {telling.step(said.step)}" if said.step else ""
    yield from (f"{name.replace('_', ' ')}: {value:g}" for name, value in said.found)
    yield _photos(said.photos)


def _waits(said: payloads.PutOnHold) -> Iterator[str]:
    yield f"On hold for {WAITS_FOR[said.reason]}"
    yield said.what
    yield f"amount: {said.amount}" if said.amount else ""
    yield f"extra work after a yes: {', '.join(said.tasks)}" if said.tasks else ""


def _resumed(said: payloads.Resumed) -> Iterator[str]:
    yield {True: "Resumed: yes", False: "Resumed: no", None: "Resumed"}[said.yes]
    about = ", ".join(part for part in (said.who, said.when) if part)
    yield ": ".join(part for part in (about, said.answer) if part)


def _proved(said: payloads.FinalChecked, telling: EntryWording) -> Iterator[str]:
    yield "Final check passed" if said.passed else "Final readings, not passed yet"
    yield from map(telling.reading, said.readings)


def _handed_over(said: payloads.HandedOver) -> Iterator[str]:
    yield "Handed over"
    yield f"{'accepted' if said.accepted else 'not accepted'}{f', {said.how}' if said.how else ''}"
    yield said.checks
    yield f"to come back: {said.come_back}" if said.come_back else ""


def _turned_away(said: payloads.WorkRefused) -> Iterator[str]:
    yield "Scrapped: not fit to be used again" if said.scrapped else "Refused"
    yield said.reason
    yield _photos(said.photos)


def _due(said: payloads.DueDateSet) -> Iterator[str]:
    yield f"Due {said.due}" if said.due else "No due date"


def _noted(said: payloads.Noted) -> Iterator[str]:
    yield "Note"
    yield said.text
    yield _photos(said.photos)


def _withdrawn(said: payloads.Withdrawn) -> Iterator[str]:
    yield "Withdrawn"
    yield said.reason


_WORDS: Final[dict[type, Callable[[Any], Iterator[str]]]] = {
    payloads.CheckedIn: _checked_in,
    payloads.IntakeUpdated: _settled,
    payloads.Answered: _answered,
    payloads.Decided: _decided,
    payloads.Prepared: _prepared,
    payloads.Started: _started,
    payloads.PassedOn: _passed_on,
    payloads.PutOnHold: _waits,
    payloads.Resumed: _resumed,
    payloads.HandedOver: _handed_over,
    payloads.WorkRefused: _turned_away,
    payloads.DueDateSet: _due,
    payloads.Noted: _noted,
    payloads.Withdrawn: _withdrawn,
}
_TOLD: Final[dict[type, Callable[[Any, EntryWording], Iterator[str]]]] = {
    payloads.StepDone: _recorded,
    payloads.ProblemFound: _found_wrong,
    payloads.FinalChecked: _proved,
}
"""Entries that name a step, or have readings."""


def difference_text(difference: Difference) -> str:
    """That a program computes another plan from the records than the one that was decided."""
    holds = f"what was decided with {difference.decided_by} holds."
    if not difference.parts:
        return f"{difference.computed_by} can make no plan of what was recorded then; {holds}"
    *others, last = (_PARTS[part] for part in difference.parts)
    named = f"{', '.join(others)} and {last}" if others else last
    return f"{difference.computed_by} computes another plan from what was recorded then ({named}); {holds}"
