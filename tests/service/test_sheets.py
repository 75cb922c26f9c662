"""Sheets keep their revisions, and a job keeps the one it was planned with."""

from __future__ import annotations

import pytest

from sagwright.domain.records.entities import SheetDifference
from sagwright.errors import InputError, InputErrors, NotThere, OutOfRange
from sagwright.formats.sheet.catalogue import shipped_text
from sagwright.service import sheets
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.decision import propose
from sagwright.store.workshop import Store
from tests.support.workshops import ARRIVAL, Person

TEXT = shipped_text("specimen/t35") or ""
REVISION = next(int(line.split(":")[1].split("#")[0]) for line in TEXT.splitlines() if line.startswith("revision:"))


def newer(text: str, by: int = 1) -> str:
    """The same sheet, with a later revision."""
    return text.replace(f"revision: {REVISION}", f"revision: {REVISION + by}")


def test_a_job_keeps_its_revision(store: Store, kim: Person) -> None:
    old = check_in(store, ARRIVAL, kim())
    added = sheets.add_sheet(store, "specimen/t35", newer(TEXT), kim())
    new = check_in(store, ARRIVAL, kim())
    assert new.state.sheet == added.id != old.state.sheet
    assert [one.revision for one in sheets.list_revisions(store, "specimen/t35")] == [REVISION, REVISION + 1]
    assert [one.id for one in sheets.list_sheets(store)] == [added.id]
    before, after = (propose(store, view.card.id).known.revision.revision for view in (old, new))
    assert (before, after) == (REVISION, REVISION + 1)


def test_the_same_text_is_one_revision(store: Store, kim: Person) -> None:
    once = sheets.add_sheet(store, "mine", TEXT, kim())
    assert sheets.add_sheet(store, "mine", TEXT, kim()) == once
    assert len(sheets.list_revisions(store, "mine")) == 1


def test_other_values_need_a_newer_revision(store: Store, kim: Person) -> None:
    sheets.add_sheet(store, "mine", TEXT, kim())
    with pytest.raises(OutOfRange, match=rf"revision must be newer.*Write revision: {REVISION + 1}\."):
        sheets.add_sheet(store, "mine", TEXT + "\n# changed\n", kim())


def test_revisions_differ_by_value(store: Store, kim: Person) -> None:
    one = sheets.add_sheet(store, "mine", TEXT, kim())
    two = sheets.add_sheet(store, "mine", newer(TEXT), kim())
    said = SheetDifference("revision", str(REVISION), str(REVISION + 1))
    assert sheets.sheet_difference(store, one.id, two.id) == (one, two, (said,))


def test_a_sheet_that_extends_another_kept_one(store: Store, kim: Person) -> None:
    base = sheets.add_sheet(store, "base", TEXT, kim())
    mine = sheets.add_sheet(store, "mine", "shape: sheet/1\nextends: base\nmodel: Own\nrevision: 1\n", kim())
    sheets.add_sheet(store, "base", newer(TEXT), kim())
    revision, sheet = sheets.read_revision(store, mine.id)
    assert dict(revision.inputs)["base"] == base.text  # as it was, whatever became of it
    assert (sheet.model, sheet.name) == ("Own", "mine")


def test_what_is_wrong_with_a_sheet_is_said_with_its_line(store: Store, kim: Person) -> None:
    with pytest.raises((InputError, InputErrors), match=r"mine\.yaml:\d+: "):
        sheets.add_sheet(store, "mine", TEXT.replace("bore:", "boar:"), kim())
    with pytest.raises(InputError, match="revision must be given"):
        sheets.add_sheet(store, "mine", "shape: sheet/1\nextends: specimen/t35\n", kim())
    with pytest.raises(InputError, match="must name a sheet"):
        sheets.add_sheet(store, "mine", "shape: sheet/1\nextends: nowhere\nrevision: 1\n", kim())
    assert sheets.list_sheets(store) == ()
    with pytest.raises(NotThere):
        sheets.read_revision(store, "none")
