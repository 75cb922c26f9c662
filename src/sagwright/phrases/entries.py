"""Entries as sentences: what was typed, never a number computed anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from sagwright.domain.records.payloads import (
    Answered,
    Decided,
    Facts,
    FoundWrong,
    HandedOver,
    Noted,
    PassedOn,
    Payload,
    Prepared,
    Promised,
    Proved,
    Reading,
    Recorded,
    Resumed,
    Settled,
    Started,
    TakenIn,
    TurnedAway,
    Waits,
    Withdrawn,
)


def entry_sentence(payload: Payload) -> str:
    """One line for an entry."""
    return _SENTENCES[type(payload)](payload)


def _taken_in(said: TakenIn) -> str:
    back = "taken in again" if said.comeback_of else "taken in"
    return f"{back}{_more(said.symptoms)}{_photos(said.photos)}"


def _settled(said: Settled) -> str:
    changed = _facts(said.facts) or said.symptoms or ", ".join(said.tasks or ())
    return f"settled{_more(changed)}{_photos(said.photos)}"


def _answered(said: Answered) -> str:
    return f"{said.about} answered by {said.who} on {said.when}: {said.answer}"


def _decided(said: Decided) -> str:
    return f"decided: {len(said.steps)} steps, by {said.program}{_more(_facts(said.facts), ', ')}"


def _prepared(said: Prepared) -> str:
    return f"prepared{_more(', '.join(said.ticked))}{', ready' if said.ready else ''}"


def _recorded(said: Recorded) -> str:
    return f"recorded {said.step}{_more(_readings(said.readings))}{_photos(said.photos)}"


def _found_wrong(said: FoundWrong) -> str:
    where = f" at {said.step}" if said.step else ""
    return f"found wrong{where}: {said.what}{_photos(said.photos)}"


def _waits(said: Waits) -> str:
    return f"waits for {said.reason}: {said.what}{_more(said.amount, ', ')}"


def _resumed(said: Resumed) -> str:
    yes = {True: "yes", False: "no", None: ""}[said.yes]
    return f"resumed{_more(', '.join(part for part in (yes, said.answer, said.who, said.when) if part))}"


def _proved(said: Proved) -> str:
    return f"{'proven' if said.proven else 'not proven'}{_more(_readings(said.readings))}"


def _handed_over(said: HandedOver) -> str:
    how = ", ".join(part for part in (said.how, said.checks) if part)
    return f"handed over, {'accepted' if said.accepted else 'not accepted'}{_more(how)}"


def _turned_away(said: TurnedAway) -> str:
    return f"{'scrapped' if said.scrapped else 'refused'}: {said.reason}{_photos(said.photos)}"


_SENTENCES: Final[dict[type, Callable[[Any], str]]] = {
    TakenIn: _taken_in,
    Settled: _settled,
    Answered: _answered,
    Decided: _decided,
    Prepared: _prepared,
    Started: lambda _: "started",
    PassedOn: lambda said: f"passed on to {said.to or 'nobody'}",
    Recorded: _recorded,
    FoundWrong: _found_wrong,
    Waits: _waits,
    Resumed: _resumed,
    Proved: _proved,
    HandedOver: _handed_over,
    TurnedAway: _turned_away,
    Promised: lambda said: f"promised for {said.promised}" if said.promised else "promise taken back",
    Noted: lambda said: f"noted{_more(said.text)}{_photos(said.photos)}",
    Withdrawn: lambda said: f"withdrawn: {said.reason}",
}


def _readings(readings: tuple[Reading, ...]) -> str:
    return ", ".join(f"{one.key} {one.said}{' (outside)' if one.passes is False else ''}" for one in readings)


def _facts(facts: Facts) -> str:
    return ", ".join(f"{path} {text}" for path, text in facts)


def _photos(photos: tuple[str, ...]) -> str:
    return f", {len(photos)} photo{'s' if len(photos) > 1 else ''}" if photos else ""


def _more(text: str, mark: str = ": ") -> str:
    return f"{mark}{text}" if text else ""
