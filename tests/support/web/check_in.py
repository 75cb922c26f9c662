"""The form at the counter, filled in and sent."""

from __future__ import annotations

from starlette.testclient import TestClient

from sagwright.service.jobs.queries import OpenedJob, open_job_numbered
from sagwright.service.workshop.records import Workshop
from tests.support.web.one_job import hidden_of

TYPED = {
    "by": "Kim",
    "customer.name": "R. Oduya",
    "customer.contact": "by post",
    "bike.pick": "none",
    "unit.serial": "0417-B",
    "unit.family": "specimen/t35 mid",
    "symptoms": "Dives under braking.\nSinks overnight.",
    "as_found.travel": "150 ± 2",
    "as_found.travel_spacers.untold": "yes",
    "as_found.port_position.untold": "yes",
    "as_found.volume_spacers.untold": "yes",
    "as_found.charge.pressure": "78",
    "as_found.charge.last_set": "5",
    "condition.coating": "no",
    "rider.mass": "80",
    "rider.gear": "4 kg",
    "wish.travel": "140",
    "wish.aim": "sag",
    "wish.aim.sag": "20",
    "task.wipers": "yes",
    "due": "2026-03-09",
}


def form_of(tablet: TestClient, address: str = "/check-in") -> dict[str, str]:
    return hidden_of(tablet.get(address).text)


def taken(tablet: TestClient, records: Workshop, typed: dict[str, str]) -> OpenedJob:
    answer = tablet.post("/check-in", data=form_of(tablet) | typed)
    assert answer.status_code == 303, answer.text
    return open_job_numbered(records, int(answer.headers["location"].split("/")[2].partition("?")[0]))
