"""Filling a workshop with the demo's jobs, once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from typing import Final

from sagwright.domain.records.entities import Instrument
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, NotNow
from sagwright.formats.demo import demo_sheets
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.fields.values import read_value
from sagwright.formats.sheet.load import load_sheet
from sagwright.service.demo.narrator import PUMP_NAME, Narrator
from sagwright.service.demo.stories import STORIES, Story, plain, story_customer
from sagwright.service.jobs.intake import Arrival
from sagwright.service.plan import sequence
from sagwright.service.workshop.records import save_instrument
from sagwright.store.jobs import all_jobs
from sagwright.store.rows import ProgressCallback, silent
from sagwright.store.workshop import Store

PREFIX: Final = "demo-"
_NAMES: Final = ("Iva Thornquist", "Milo Drachten", "Sanne Okerlund", "Perrin Vale", "Nuala Hesket", "Tavi Ronsard")
_WORK: Final = ("lower-legs", "air-spring", "wipers")


@dataclass(frozen=True, slots=True)
class _Filled:
    """How many jobs were told now, and how many were there already."""

    added: int
    there: int


def fill(store: Store, *, start: datetime, words: Callable[[str], str], tell: ProgressCallback = silent) -> _Filled:
    """Tell every story of the demo that the workshop does not have yet; the same start gives the same records.

    Parameters
    ----------
    store : Store
        Empty, or one that was filled before.
    start : datetime
        When the first unit comes in.
    words : callable
        What a key of the final check is called.
    tell : callable
        Called with how many stories are told and how many there are.

    Raises
    ------
    NotNow
        If there are jobs of another origin: entries stay for ever, and what is invented must not stand among them.
    """
    with store.reading() as transaction:
        there = all_jobs(transaction)
    if any(not job.startswith(PREFIX) for job in there):
        remedy = "Give the demo a place of its own: --workshop demo.sqlite."
        raise NotNow("There are jobs here that are not the demo's.", remedy=remedy)
    stories = all_stories()
    new = [story for story in stories if PREFIX + story.key not in there]
    if new:
        _keep_pump(store, start)
    for number, story in enumerate(new, 1):
        _tell(Narrator(store, PREFIX + story.key, start + timedelta(hours=story.hours), story.by, words), story)
        tell(number, len(new))
    return _Filled(len(new), len(stories) - len(new))


def _keep_pump(store: Store, start: datetime) -> None:
    checked = start.date().isoformat()
    save_instrument(store, Instrument(PUMP_NAME, "shock pump", "demo pump", "1.6 % of full scale", checked))


def all_stories() -> tuple[Story, ...]:
    """Those that are written, and a service for every shipped sheet that none of them is about."""
    told = {story.sheet for story in STORIES}
    others = [key for key in demo_sheets() if key not in told]
    return (*STORIES, *(_service(key, number) for number, key in enumerate(others)))


def _service(sheet: str, number: int) -> Story:
    key = sheet.rpartition("/")[2]
    return Story(f"service-{key}", 54.0 + number, "Lou", partial(_serviced, sheet, number), sheet)


def _serviced(sheet: str, number: int, tell: Narrator) -> None:
    """Prepared for, or at the stand, by turns."""
    loaded = load_sheet(sheet)
    name = _NAMES[number % len(_NAMES)]
    serial = f"{loaded.model}-{100 + number}"
    arrival = Arrival(story_customer(name), sheet, plain(serial, loaded.chassis[0].name), tasks=tasks_for(loaded))
    tell.check_in(arrival)
    tell.decide()
    if number % 2 == 0:
        tell.prepare_and_start()
        tell.work(0.6)


def tasks_for(sheet: Sheet) -> tuple[str, ...]:
    """The first service that can be asked of a sheet, as tasks.

    Raises
    ------
    NotNow
        If none can.
    """
    for work in _WORK:
        if _possible(sheet, (work,)):
            return (work,)
    raise NotNow(f"No service can be asked of {sheet.name}.")


def _possible(sheet: Sheet, tasks: tuple[str, ...]) -> bool:
    try:
        sequence(sheet, [read_task(task) for task in tasks], chassis=sheet.chassis[0].name)
    except (InputError, InputErrors):
        return False
    return True


def _tell(teller: Narrator, story: Story) -> None:
    if story.found:
        teller.found = read_value(story.found, Quantity.PRESSURE).si
    story.tell(teller)
