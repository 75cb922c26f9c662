"""Spec sheets of a workshop: which there are, what changed between revisions, and drafts, checked before storing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sagwright.domain.cutaway import Inside
from sagwright.domain.records.entities import SheetDifference, SheetRevision
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.text import require_words
from sagwright.domain.setup import (
    Setting,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
)
from sagwright.domain.sheet import ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.errors import InputError, InputErrors, OutOfRange
from sagwright.formats.sheet.catalogue import shipped_sheets, shipped_text
from sagwright.formats.sheet.load import (
    digest_of,
    extended,
    load_sheet,
    read_sheet,
    require_stated_revision,
    sheet_differences,
    sheet_of,
)
from sagwright.planning.spring.cutaway import inside_of
from sagwright.planning.spring.kind import spring_kind
from sagwright.store.documents import add_revision, newest_revisions, revision_by_id, revisions_of
from sagwright.store.engine import Transaction
from sagwright.store.workshop import Store


def add_sheet(store: Store, key: str, text: str, said: Submission) -> SheetRevision:
    """A sheet's new revision; the same text again is the revision that is there.

    Raises
    ------
    InputError, InputErrors
        Everything that is wrong with it, with its line; or its revision is not newer than what is there.
    """
    require_words(key, "key")
    require_stated_revision(text, key)
    with store.writing() as transaction:
        made = _revision(transaction, key, text, said)
        there = revisions_of(transaction, key)
        if made.id not in {one.id for one in there}:
            _require_newer(made, there)
            add_revision(transaction, made)
        return revision_by_id(transaction, made.id)


def _revision(transaction: Transaction, key: str, text: str, said: Submission) -> SheetRevision:
    known = {one.key: one.text for one in newest_revisions(transaction)}
    inputs = extended(key, text, known)
    sheet = read_sheet(key, text, inputs)
    return SheetRevision(digest_of(key, text, inputs), key, sheet.revision, text, inputs, said.at, said.by)


def _require_newer(made: SheetRevision, there: tuple[SheetRevision, ...]) -> None:
    newest = max((one.revision for one in there), default=0)
    same = [one for one in there if one.revision == made.revision and one.text == made.text]
    if made.revision <= newest and not same:
        rule = f"must be newer than {newest}, which is kept already with other values"
        remedy = f"Write revision: {newest + 1}."
        raise OutOfRange(rule, field="revision", value=str(made.revision), remedy=remedy, file=f"{made.key}.yaml")


def sheet_for(transaction: Transaction, key: str, said: Submission) -> SheetRevision:
    """The newest revision of a sheet, by its key; or that revision, by its id. A shipped one is kept when first used.

    Raises
    ------
    NotThere
        If there is none of that name.
    """
    there = revisions_of(transaction, key)
    text = shipped_text(key) if key in shipped_sheets() else None
    if text is not None and all(one.text != text for one in there):
        made = _revision(transaction, key, text, said)
        if all(made.revision > one.revision for one in there):
            add_revision(transaction, made)
            return made
    return there[-1] if there else revision_by_id(transaction, key)


def list_sheets(store: Store) -> tuple[SheetRevision, ...]:
    """The newest revision of every sheet that is kept, by key; shipped ones are kept once they are used."""
    with store.reading() as transaction:
        return newest_revisions(transaction)


def list_revisions(store: Store, key: str) -> tuple[SheetRevision, ...]:
    """Every revision of one sheet, the newest last."""
    with store.reading() as transaction:
        return revisions_of(transaction, key)


def read_revision(store: Store, revision: str) -> tuple[SheetRevision, Sheet]:
    """A revision by its id, and the sheet it says.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        found = revision_by_id(transaction, revision)
    return found, sheet_of(found)


def sheet_difference(
    store: Store, before: str, after: str
) -> tuple[SheetRevision, SheetRevision, tuple[SheetDifference, ...]]:
    """Two revisions by their ids, and every value that they write differently.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        old, new = revision_by_id(transaction, before), revision_by_id(transaction, after)
    return old, new, sheet_differences(old, new)


@dataclass(frozen=True, slots=True)
class Checked:
    """A text read as a sheet: the sheet, or everything that is wrong with it, by line."""

    sheet: Sheet | None
    faults: tuple[InputError, ...]


def check_draft(store: Store, key: str, text: str) -> Checked:
    """A text read as the sheet of that key, with what it extends of this workshop and of the program."""
    with store.reading() as transaction:
        known = {one.key: one.text for one in newest_revisions(transaction)}
    try:
        require_stated_revision(text, key)
        return Checked(read_sheet(key, text, extended(key, text, known)), ())
    except InputErrors as error:
        return Checked(None, error.errors)
    except InputError as error:
        return Checked(None, (error,))


def picture_of(sheet: Sheet) -> Inside | None:
    """The spring leg of a sheet's first chassis at its longest travel, topped out; None where it has no legs."""
    if not sheet.legs:
        return None
    chassis, setting = sheet.chassis[0], _longest(sheet)
    return inside_of(sheet, spring_kind(sheet).example(sheet, chassis.name, setting))


def _longest(sheet: Sheet) -> Setting:
    match sheet.mechanism:
        case SpacerStack():
            return StackSetting(0, 0)
        case TopOutSpacers():
            return TopOutSetting(0)
        case ShaftPerTravel():
            return ShaftSetting(max(shaft.travel.si for shaft in sheet.mechanism.shafts))


def sheets_by_key(store: Store) -> dict[str, Sheet]:
    """Every sheet by its key, in its newest revision."""
    kept = {revision.key: sheet_of(revision) for revision in list_sheets(store)}
    return {**{name: _shipped(name) for name in shipped_sheets()}, **kept}


@lru_cache(maxsize=200)
def revision_named(store: Store, revision: str) -> tuple[SheetRevision, Sheet]:
    """A revision by its id, and the sheet it says; neither ever changes.

    Raises
    ------
    NotThere
    """
    return read_revision(store, revision)


@lru_cache
def _shipped(name: str) -> Sheet:
    return load_sheet(name, files=False)
