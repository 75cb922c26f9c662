"""The stories: who came with what, and how far it has come. People, units and numbers are invented."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sagwright.domain.records.payloads import (
    Condition,
    Facts,
    Noted,
    ProblemFound,
    PutOnHold,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.formats.demo import demo_bike
from sagwright.service.demo.narrator import Narrator
from sagwright.service.jobs import actions
from sagwright.service.jobs.intake import Arrival, NewBicycle, NewCustomer
from sagwright.store.photos import sketched_crack

T35: Final = "specimen/t35"
P34: Final = "specimen/p34"
N32: Final = "specimen/n32"
A55: Final = "specimen/a55"


@dataclass(frozen=True, slots=True)
class Story:
    """One job: the end of its id, how many hours after the start it begins, who tells it, and how it goes.

    `found` is what its gauge shows before anything is touched; empty where that is what was planned.
    """

    key: str
    hours: float
    by: str
    tell: Callable[[Narrator], object]
    sheet: str
    found: str = ""


def story_customer(name: str) -> NewCustomer:
    """Somebody who does not exist, and says so."""
    return NewCustomer(f"{name} (invented)", f"{name.split(maxsplit=1)[0].lower()}@example.org")


def stack(serial: str, chassis: str, travel: str, psi: str, wish: str) -> Facts:
    """A fork with spacers under its piston, whose rider is known."""
    return (
        ("unit.serial", serial),
        ("unit.chassis", chassis),
        ("as_found.travel", f"{travel} ± 2 mm"),
        ("as_found.travel_spacers", "0"),
        ("as_found.port_position", "0"),
        ("as_found.volume_spacers", "1"),
        ("as_found.charge.pressure", f"{psi} ± 2 psi"),
        ("as_found.charge.last_set", "5 days"),
        ("rider.mass", "80 ± 1 kg"),
        ("rider.gear", "4 ± 1 kg"),
        ("wish.travel", wish),
        ("wish.aim", "as-it-rode"),
    )


def shafts(serial: str) -> Facts:
    """A fork with one air shaft per travel."""
    return (
        ("unit.serial", serial),
        ("unit.chassis", "standard"),
        ("as_found.travel", "120 ± 2 mm"),
        ("as_found.air_shaft", "120 mm"),
        ("as_found.volume_spacers", "2"),
        ("as_found.charge.pressure", "96 ± 2 psi"),
        ("as_found.charge.last_set", "2 weeks"),
        ("rider.mass", "72 ± 1 kg"),
        ("rider.gear", "5 ± 1 kg"),
        ("wish.travel", "140 mm"),
        ("wish.aim.sag", "22 %"),
    )


def plain(serial: str, chassis: str = "standard") -> Facts:
    """A unit of which no more is asked than the service."""
    return (("unit.serial", serial), ("unit.chassis", chassis))


def _shortened(tell: Narrator) -> None:
    """From check in to hand over."""
    bike = NewBicycle("Trail bike, large", demo_bike())
    facts = stack("T35-0417", "mid", "150", "78", "140 mm")
    tell.check_in(Arrival(story_customer("Rilla Fennick"), T35, facts, bicycle=bike, symptoms="too tall in front"))
    tell.decide()
    tell.prepare_and_start()
    tell.work()
    tell.final_check()
    tell.hand_over()


def comeback(tell: Narrator) -> None:
    """The same fork comes back, and somebody has to choose."""
    facts = stack("T35-0417", "mid", "140", "84", "140 mm")[2:]
    settled = tuple(("as_found." + path, text) for path, text in (("travel_spacers", "1"), ("port_position", "1")))
    facts = tuple(dict(facts + settled).items())
    tell.come_back("demo-shortened", Arrival("", "", facts, symptoms="creaks in the crown when braking"))


def lengthened(tell: Narrator) -> None:
    """Half way through at the stand."""
    arrival = Arrival(
        story_customer("Osk Brindle"), P34, shafts("P34-2288"), bicycle=NewBicycle("Hardtail"), due=tell.day(2)
    )
    tell.check_in(arrival)
    tell.decide()
    tell.prepare_and_start()
    tell.work(0.5)


def posted(tell: Narrator) -> None:
    """No bike, no rider, hardly any pressure; parts are on order."""
    unknown = "unknown until open"
    facts: Facts = (
        ("unit.serial", "T35-1903"),
        ("unit.chassis", "long"),
        ("as_found.travel", "not measured"),
        ("as_found.travel_spacers", unknown),
        ("as_found.port_position", unknown),
        ("as_found.volume_spacers", unknown),
        ("as_found.charge.pressure", "11 ± 2 psi"),
        ("as_found.charge.leaked", "yes"),
        ("load", "330 ± 30 N"),
        ("wish.travel", "150 mm"),
        ("wish.aim.sag", "22 %"),
    )
    tell.check_in(Arrival(story_customer("Tamsel Ouwe"), T35, facts, symptoms="posted in a box, no letter in it"))
    tell.decide()
    what = PutOnHold(HoldReason.PARTS, "wipers and foam rings", "34.00")
    actions.record(tell.store, tell.key, tell.says(), what=what)


def contradicted(tell: Narrator) -> None:
    """The sticker says one thing and the inside another: found, planned again, gone on with."""
    facts = plain("T35-0733", "mid")
    tasks = ("change-travel=140mm", "set-pressure=85psi")
    tell.check_in(
        Arrival(story_customer("Hedda Quorn"), T35, facts, tasks=tasks, symptoms="sits deep, hardly any sag left")
    )
    tell.decide()
    tell.prepare_and_start()
    tell.work(0.4)
    found = ProblemFound(
        "Two travel spacers lie under the piston, and the transfer port stands in its first hole; the sheet of this "
        "chassis has one hole for each spacer.",
        found=(("travel_spacers", 2.0), ("port_position", 0.0)),
    )
    actions.record(tell.store, tell.key, tell.says(), what=found)
    tell.work(0.3)


def fixed_travel(tell: Narrator) -> None:
    """All steps done, nothing proven yet."""
    tasks = ("set-pressure=82psi", "lower-legs", "wipers")
    tell.check_in(
        Arrival(story_customer("Bram Ilversen"), N32, plain("N32-0051"), tasks=tasks, symptoms="sticky off the top")
    )
    tell.decide()
    tell.prepare_and_start()
    tell.work()


def shock(tell: Narrator) -> None:
    """Proven, and waiting to be fetched."""
    tasks = ("set-pressure=170psi", "air-spring")
    tell.check_in(Arrival(story_customer("Odile Marrak"), A55, plain("A55-0907"), tasks=tasks, due=tell.day(1)))
    tell.decide()
    tell.prepare_and_start()
    tell.work()
    tell.final_check()
    actions.record(tell.store, tell.key, tell.says(), what=Noted("Told by telephone that it is ready."))


def cracked(tell: Narrator) -> None:
    """Refused, with a photo."""
    photo = tell.photo(sketched_crack())
    seen = Condition("crack through the crown", "none allowed", within=False, photos=(photo,))
    facts = plain("T35-0555", "short")
    tell.check_in(Arrival(story_customer("Lune Aberthal"), T35, facts, condition=(seen,), photos=(photo,)))
    reason = "The crown is cracked. It must not be ridden, and no work here makes it sound."
    actions.record(tell.store, tell.key, tell.says(), what=WorkRefused(reason, photos=(photo,)))


def bent(tell: Narrator) -> None:
    """Scrapped at the stand."""
    tell.check_in(
        Arrival(story_customer("Pell Castaigne"), A55, plain("A55-0012"), tasks=("set-pressure=180psi", "air-spring"))
    )
    tell.decide()
    tell.prepare_and_start()
    tell.work(0.3)
    reason = "The shaft is bent and scored through its coating; the customer leaves it here to be scrapped."
    actions.record(tell.store, tell.key, tell.says(), what=WorkRefused(reason, scrapped=True))


def waiting_for_customer(tell: Narrator) -> None:
    """Waits for the customer's yes."""
    tell.check_in(Arrival(story_customer("Wenna Sorley"), P34, shafts("P34-0090"), due=tell.day(4)))
    tell.decide()
    tell.prepare_and_start()
    tell.work(0.3)
    what = PutOnHold(HoldReason.CUSTOMER, "bushings knock: 0.3 mm of play; send the lowers out?", "140.00")
    actions.record(tell.store, tell.key, tell.says(), what=what)


def held_up(tell: Narrator) -> None:
    """Waits for something other."""
    facts = stack("T35-1188", "long", "160", "86", "150 mm")
    tell.check_in(Arrival(story_customer("Corin Vastergaard"), T35, facts, bicycle=NewBicycle("Enduro bike")))
    what = PutOnHold(HoldReason.OTHER, "the wheel is at the wheel builder's; axle to crown is measured with it")
    actions.record(tell.store, tell.key, tell.says(), what=what)


def half_read(tell: Narrator) -> None:
    """Just put on the counter."""
    facts = plain("T35-2001", "mid")
    tell.check_in(Arrival(story_customer("Zora Lindqvarn"), T35, facts, symptoms="harsh", complete=False))


def fresh(tell: Narrator) -> None:
    """To be chosen; its wish is within reach."""
    facts = stack("T35-0642", "mid", "150", "74", "130 mm")
    bike = NewBicycle("Trail bike, small", demo_bike())
    tell.check_in(Arrival(story_customer("Emrys Tolland"), T35, facts, bicycle=bike, symptoms="wants the front lower"))


STORIES: Final = (
    Story("shortened", 0.0, "Kim", _shortened, T35, "78 psi"),
    Story("fixed", 3.0, "Lou", fixed_travel, N32, "79 psi"),
    Story("cracked", 5.0, "Kim", cracked, T35),
    Story("bent", 6.0, "Lou", bent, A55, "174 psi"),
    Story("posted", 24.0, "Kim", posted, T35),
    Story("shock", 25.0, "Lou", shock, A55, "168 psi"),
    Story("lengthened", 27.0, "Kim", lengthened, P34, "96 psi"),
    Story("contradicted", 30.0, "Lou", contradicted, T35, "88 psi"),
    Story("asked", 48.0, "Kim", waiting_for_customer, P34, "96 psi"),
    Story("held-up", 50.0, "Lou", held_up, T35),
    Story("fresh", 51.0, "Kim", fresh, T35),
    Story("back", 52.0, "Kim", comeback, T35),
    Story("half-read", 53.0, "Lou", half_read, T35),
)
