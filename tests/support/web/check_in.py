"""The form at the counter, filled in and sent."""

from __future__ import annotations

from starlette.testclient import TestClient

from sagwright.service.jobs.queries import OpenedJob, open_job_numbered
from sagwright.service.workshop.records import Workshop
from tests.support.web.one_job import hidden_of

TYPED = {
    "by": "Kim",
    "owner.name": "R. Oduya",
    "owner.contact": "by post",
    "bike.pick": "none",
    "unit.serial": "0417-B",
    "unit.family": "specimen/t35 mid",
    "symptoms": "Dives under braking.\nSinks overnight.",
    "as_found.travel": "150 ± 2",
    "as_found.travel_spacers.untold": "yes",
    "as_found.equaliser_hole.untold": "yes",
    "as_found.volume_spacers.untold": "yes",
    "as_found.charge.pressure": "78",
    "as_found.charge.last_set": "5",
    "condition.coating": "no",
    "rider.mass": "80",
    "rider.kit": "4 kg",
    "wish.travel": "140",
    "wish.aim": "sag",
    "wish.aim.sag": "20",
    "task.wipers": "yes",
    "promised": "2026-03-09",
}


def form_of(tablet: TestClient, address: str = "/take-in") -> dict[str, str]:
    return hidden_of(tablet.get(address).text)


def taken(tablet: TestClient, records: Workshop, typed: dict[str, str]) -> OpenedJob:
    answer = tablet.post("/take-in", data=form_of(tablet) | typed)
    assert answer.status_code == 303, answer.text
    return open_job_numbered(records, int(answer.headers["location"].split("/")[2].partition("?")[0]))
