"""The workshop that the tests look at: a job at every stage, and one with corrections."""

from __future__ import annotations

from pathlib import Path

from sagwright.domain.records.payloads import Noted, Prepared, Promised, Recorded, TurnedAway, Waits
from sagwright.domain.records.stages import WaitFor
from sagwright.service.jobs import correct, note, prepare, promise, record, start, turn_away, wait
from sagwright.service.taking_in import Arrival, NewBicycle, NewOwner, take_in
from sagwright.service.workshop import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.guard import Guard
from sagwright.web.shop import Shop
from sagwright.web.warming import warm
from tests.workshops import ARRIVAL, FACTS, Person, decided

BIKE = Path(__file__).parents[2] / "examples" / "bikes" / "trail.yaml"

TAKEN_IN, TO_CHOOSE, TO_PREPARE, ON_THE_BENCH, REFUSED = 1001, 1002, 1003, 1004, 1005
"""Numbers of the jobs, in the order in which they came."""


def example_site(folder: Path) -> Guard:
    """The application, as it is served, over a workshop with jobs."""
    return create_app(Shop(example_workshop(folder)), warm=warm)


def example_workshop(folder: Path) -> Workshop:
    """A workshop with a job at each stage."""
    workshop = open_workshop(folder / "workshop.sqlite")
    kim = Person()
    posted = (("unit.chassis", "standard"), ("unit.serial", "0099"), ("as_found.travel", "not measured"))
    take_in(workshop, Arrival(NewOwner("R. Oduya", "by post"), "specimen/p34", posted, complete=False), kim())
    bike = NewBicycle("Trail bike, green", BIKE.read_text("utf-8"))
    to_choose = take_in(workshop, Arrival(ARRIVAL.owner, ARRIVAL.sheet, FACTS, bicycle=bike), kim()).card.id
    promise(workshop, to_choose, kim(), promised="2026-03-04")
    to_prepare = take_in(workshop, ARRIVAL, kim()).card.id
    decided(workshop, to_prepare, kim)
    bench = take_in(workshop, ARRIVAL, kim()).card.id
    decided(workshop, bench, kim)
    prepare(workshop, bench, kim(), what=Prepared(ready=True))
    first = start(workshop, bench, kim()).state.left[0]
    record(workshop, bench, kim("first-step"), what=Recorded(first))
    correct(workshop, bench, kim(), entry="first-step", what=Recorded(first, seconds=90.0))
    wait(workshop, bench, kim(), what=Waits(WaitFor.PARTS, "wipers 35 mm", "18 euro"))
    refused = take_in(workshop, ARRIVAL, kim()).card.id
    note(workshop, refused, kim(), what=Noted("<b>crown</b> creaks"))
    turn_away(workshop, refused, kim(), what=TurnedAway("The crown creaks."))
    return workshop
