"""Choosing a travel for a job with other tasks: they are done in the same opening, and each can be added or dropped."""

from __future__ import annotations

import re
from html import unescape

from starlette.testclient import TestClient

from sagwright.domain.plan import Plan
from sagwright.domain.task import Task, TaskKind
from sagwright.service.jobs.decision import propose
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop
from tests.support.selections import selection_of
from tests.support.web.one_job import JOB

HERE = f"/jobs/{JOB}/plan"


def section(tablet: TestClient) -> str:
    found = re.search(r'<section class="also".*?</section>', tablet.get(HERE).text, re.DOTALL)
    assert found is not None
    return unescape(found.group())


def ticked(tablet: TestClient) -> dict[str, bool]:
    return {
        name: " checked" in rest for name, rest in re.findall(r'name="task" value="([^"]+)"([^>]*)>', section(tablet))
    }


def record(tablet: TestClient, *tasks: str, back: str = HERE) -> str:
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', section(tablet)))
    answer = tablet.post(f"{HERE}/tasks", data=hidden | {"by": "Kim", "task": list(tasks), "back": back})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def planned(records: Workshop) -> Plan:
    return propose(records, open_job_numbered(records, JOB).view.card.id).plan


def test_a_task_is_added_to_the_plan_and_dropped_again(tablet: TestClient, records: Workshop) -> None:
    before = ticked(tablet)
    assert "damper" in before
    assert not before["damper"]
    plain = planned(records)
    kept = [name for name, on in before.items() if on]
    record(tablet, *kept, "damper")
    assert ticked(tablet)["damper"]
    plan = planned(records)
    assert Task(TaskKind.DAMPER) in selection_of(plan).intake.tasks
    assert len(plan.work.steps) > len(plain.work.steps)
    own = sum(tasks == (Task(TaskKind.DAMPER),) for _, tasks in plan.work.needed_by)
    assert f"{own} steps for it alone" in section(tablet)
    record(tablet, *kept)
    assert not ticked(tablet)["damper"]
    assert planned(records).work.steps == plain.work.steps


def test_a_task_that_the_unit_has_no_work_for_is_not_taken(tablet: TestClient, records: Workshop) -> None:
    before = open_job_numbered(records, JOB).view.state.tasks
    record(tablet, *before, "coil-spring", "<b>")
    assert open_job_numbered(records, JOB).view.state.tasks == before


def test_it_leads_back_to_the_controls_and_nowhere_else(tablet: TestClient) -> None:
    assert record(tablet, "wipers", back=f"{HERE}?travel=140+mm") == f"{HERE}?travel=140+mm"
    assert record(tablet, back="https://elsewhere.example/") == HERE
