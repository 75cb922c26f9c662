"""Plans of tasks alone that an earlier program stored are read as every plan is, from its file, export and backup."""

from __future__ import annotations

import json
import lzma
import shutil
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sagwright.domain.records.payloads import Decided
from sagwright.formats.records.decision import read_plan
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.decision import decision_of, difference_of
from sagwright.service.jobs.queries import open_job, search_jobs
from sagwright.service.workshop.maintenance import Grade, examine_records, import_workshop, restore_workshop
from sagwright.service.workshop.records import open_workshop
from sagwright.store.migrations import steps_into_plan
from tests.support.workshops import MORNING

FROZEN = Path(__file__).parents[1] / "records" / "frozen" / "2b628bd"


def unpacked(name: str, target: Path) -> Path:
    with lzma.open(FROZEN / f"{name}.xz") as packed, target.open("wb") as file:
        shutil.copyfileobj(packed, file)
    return target


def frozen_tables() -> dict[str, list[dict[str, Any]]]:
    with lzma.open(FROZEN / "export.json.xz", "rt", encoding="utf-8") as packed:
        tables: dict[str, list[dict[str, Any]]] = json.load(packed)["tables"]
    return tables


def from_file(where: Path) -> None:
    unpacked("demo.sqlite", where)


def from_export(where: Path) -> None:
    with open_workshop(where) as store:
        import_workshop(store, unpacked("export.json", where.with_name("export.json")))


def from_backup(where: Path) -> None:
    restore_workshop(FROZEN / "demo.backup", where, now=MORNING)


@pytest.fixture(params=[from_file, from_export, from_backup])
def old(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A workshop that an earlier program wrote."""
    put: Callable[[Path], None] = request.param
    put(tmp_path / "w.sqlite")
    return tmp_path / "w.sqlite"


def test_every_job_of_an_earlier_program_opens_as_it_was(old: Path) -> None:
    with open_workshop(old) as store:
        jobs = [open_job(store, row["id"]).view for row in frozen_tables()["jobs"]]
        decided = [view for view in jobs if view.state.decision is not None]
        assert (len(jobs), len(decided)) == (17, 12)
        assert {
            one.payload.work_shape for view in jobs for one in view.entries if isinstance(one.payload, Decided)
        } == {"plan/1"}
        for view in decided:
            plan = read_plan(decision_of(store, view.card.id).work.text)
            assert plan.steps
            assert bench_state(store, view.card.id).plan.work.chassis == plan.chassis
            differs = difference_of(store, view.state)  # in words that changed since; without parts it is unreadable
            assert differs is None or differs.parts, view.card.number
        assert search_jobs(store, "wenna")
    assert {check.grade for check in examine_records(old)} == {Grade.GOOD}


def test_only_its_shape_changes_in_a_document() -> None:
    texts = [row["text"] for row in frozen_tables()["documents"] if row["shape"] == "steps/1"]
    assert texts
    for text in texts:
        old, new = json.loads(text), json.loads(steps_into_plan.document(text))
        assert new == old | {"shape": "plan/1"}
        assert len(read_plan(steps_into_plan.document(text)).steps) == len(old["steps"])


def test_documents_get_new_names_and_entries_follow() -> None:
    old = frozen_tables()
    new = {name: list(rows) for name, rows in steps_into_plan.tables(old.items())}
    shapes = Counter(row["shape"] for row in old["documents"])
    assert Counter(row["shape"] for row in new["documents"]) == {
        "bike/1": shapes["bike/1"],
        "intake/1": shapes["intake/1"],
        "plan/1": shapes["plan/1"] + shapes["steps/1"],
    }
    there = {row["id"]: row["shape"] for row in new["documents"]}
    said = [json.loads(row["payload"]) for row in new["entries"] if row["kind"] == "decided"]
    assert said
    assert all(there[one["work"]] == one["work_shape"] == "plan/1" for one in said)
    others = [name for name in old if name not in {"documents", "entries"}]
    assert {name: new[name] for name in others} == {name: old[name] for name in others}
    kept = [(a, b) for a, b in zip(old["entries"], new["entries"], strict=True) if a["kind"] != "decided"]
    assert kept
    assert all(a == b for a, b in kept)


def test_what_is_new_stays_as_it_is() -> None:
    new = {name: list(rows) for name, rows in steps_into_plan.tables(frozen_tables().items())}
    assert {name: list(rows) for name, rows in steps_into_plan.tables(new.items())} == new
