"""The demo workshop: every stage, every base sheet, invented people, told once."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Decided, ProblemFound, StepDone, WorkRefused
from sagwright.domain.records.stages import HoldReason, Stage
from sagwright.errors import NotNow
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet
from sagwright.phrases.diagnosis import final_check_words
from sagwright.service.demo.fill import PREFIX, all_stories, fill
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import open_job
from sagwright.service.workshop.maintenance import Grade, examine_records, exported
from sagwright.service.workshop.records import open_workshop
from tests.support.workshops import ARRIVAL, Person

START = datetime(2026, 3, 2, 8, tzinfo=UTC)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo workshop in a file."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    with open_workshop(path) as store:
        assert fill(store, start=START, words=final_check_words).added >= 12
    return path


@pytest.fixture(scope="module")
def views(filled: Path) -> dict[str, JobView]:
    """Every job of it by the key of its story."""
    with open_workshop(filled) as store:
        return {story.key: open_job(store, PREFIX + story.key).view for story in all_stories()}


def test_there_is_a_job_at_every_stage_and_one_for_each_kind_of_waiting(views: dict[str, JobView]) -> None:
    assert {view.card.stage for view in views.values()} == set(Stage)
    assert {view.card.on_hold for view in views.values()} == {*(reason.value for reason in HoldReason), ""}
    assert len({view.card.unit for view in views.values()}) >= 8


def test_every_sheet_and_base_that_is_shipped_is_there(views: dict[str, JobView]) -> None:
    used = {view.card.sheet for view in views.values()}
    assert used == set(shipped_sheets())
    assert {load_sheet(key).base for key in used} == {load_sheet(key).base for key in shipped_sheets()}


def test_its_people_are_invented_and_say_so(filled: Path, views: dict[str, JobView]) -> None:
    assert all(view.card.customer_name.endswith(" (invented)") for view in views.values())
    with open_workshop(filled) as store:
        contacts = [open_job(store, view.card.id).customer.contact for view in views.values()]
    assert all(contact.endswith("@example.org") for contact in contacts)  # reserved by RFC 2606


def test_one_is_otherwise_inside_and_planned_again(views: dict[str, JobView]) -> None:
    view = views["contradicted"]
    kinds = [type(entry.payload) for entry in view.entries]
    assert kinds.count(Decided) == 2
    assert kinds.index(ProblemFound) < len(kinds) - 1 - kinds[::-1].index(Decided)
    assert isinstance(view.entries[-1].payload, StepDone)
    first, second = (entry.payload for entry in view.entries if isinstance(entry.payload, Decided))
    assert first.steps != second.steps
    assert set(second.steps) <= set(first.steps) | {"change:transfer_port"}


def test_one_was_posted_one_refused_with_a_photo_and_one_comes_back(views: dict[str, JobView]) -> None:
    posted, refused, back = views["posted"], views["cracked"], views["back"]
    assert (posted.card.bicycle, posted.state.fact("rider.mass")) == ("", None)
    assert isinstance(refused.state.ended, WorkRefused)
    assert refused.state.ended.photos
    assert back.card.comeback_of == views["shortened"].card.id
    assert back.card.unit == views["shortened"].card.unit


def test_readings_are_near_what_was_planned(views: dict[str, JobView]) -> None:
    readings = [one for view in views.values() for one in view.state.readings]
    assert len(readings) > 50
    assert all(one.within_limits is not False for one in readings)
    pairs = [(one.value, one.predicted.value) for one in readings if one.predicted and one.value is not None]
    assert pairs
    assert all(abs(value - predicted) < 15e3 for value, predicted in pairs)
    assert len({value for value, _ in pairs}) > 1


def test_nothing_is_wrong_with_it(filled: Path) -> None:
    assert {check.grade for check in examine_records(filled)} == {Grade.GOOD}


@pytest.mark.slow
def test_twice_adds_nothing_and_a_missing_job_is_told_again(filled: Path, tmp_path: Path) -> None:
    with open_workshop(filled) as store:
        before = "".join(exported(store))
        done = fill(store, start=datetime(2027, 1, 1, tzinfo=UTC), words=final_check_words)
        assert (done.added, done.there) == (0, len(all_stories()))
        assert "".join(exported(store)) == before
    with open_workshop(tmp_path / "other.sqlite") as other:
        fill(other, start=START, words=final_check_words)
        assert "".join(exported(other)) == before


def test_real_jobs_are_not_mixed_with_it(tmp_path: Path, kim: Person) -> None:
    with open_workshop(tmp_path / "real.sqlite") as store:
        check_in(store, ARRIVAL, kim())
        with pytest.raises(NotNow, match="not the demo's"):
            fill(store, start=START, words=final_check_words)
