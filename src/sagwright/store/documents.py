"""Sheets, documents, instruments and half-filled forms."""

from __future__ import annotations

import hashlib
import json
import zlib
from typing import Any, Final

from sqlalchemy import Row, bindparam, delete, insert, select, update

from sagwright.domain.plan import Plan
from sagwright.domain.records.entities import Draft, Instrument, SheetRevision, StoredDocument
from sagwright.errors import NotThere
from sagwright.formats.output.plan import PLAN_SHAPE as PLAN
from sagwright.formats.output.plan import plan_to_json
from sagwright.store.engine import Transaction
from sagwright.store.tables import documents, drafts, instruments, sheets

_DROP_DRAFT: Final = delete(drafts).where(drafts.c.id == bindparam("which"))


def add_revision(transaction: Transaction, revision: SheetRevision) -> None:
    """A sheet's revision, if it is not there already."""
    if transaction.execute(select(sheets.c.id).where(sheets.c.id == revision.id)).first() is None:
        inputs = json.dumps(revision.inputs, ensure_ascii=False)
        transaction.execute(
            insert(sheets).values(
                id=revision.id,
                key=revision.key,
                revision=revision.revision,
                text=revision.text,
                inputs=inputs,
                added=revision.added,
                by=revision.by,
            )
        )


def revision_by_id(transaction: Transaction, revision: str) -> SheetRevision:
    """One revision of a sheet.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(sheets).where(sheets.c.id == revision)).first()
    if row is None:
        raise NotThere(f"There is no sheet's revision {revision}.", remedy="Choose one of the list of sheets.")
    return _revision(row)


def revisions_of(transaction: Transaction, key: str) -> tuple[SheetRevision, ...]:
    """Every revision of a sheet, the newest last."""
    rows = select(sheets).where(sheets.c.key == key).order_by(sheets.c.revision, sheets.c.added, sheets.c.id)
    return tuple(_revision(row) for row in transaction.execute(rows))


def newest_revisions(transaction: Transaction) -> tuple[SheetRevision, ...]:
    """The newest revision of every sheet, by key."""
    rows = transaction.execute(select(sheets).order_by(sheets.c.revision, sheets.c.added, sheets.c.id))
    newest = {row.key: row for row in rows}
    return tuple(_revision(newest[key]) for key in sorted(newest))


def _revision(row: Row[Any]) -> SheetRevision:
    inputs = tuple((name, text) for name, text in json.loads(row.inputs))
    return SheetRevision(row.id, row.key, row.revision, row.text, inputs, row.added, row.by)


def add_document(transaction: Transaction, shape: str, text: str) -> str:
    """The id of a text that is kept as it is; the same text is kept once."""
    digest = hashlib.sha256(f"{shape}\n{text}".encode()).hexdigest()[:32]
    if transaction.execute(select(documents.c.id).where(documents.c.id == digest)).first() is None:
        content = zlib.compress(text.encode())
        transaction.execute(insert(documents).values(id=digest, shape=shape, content=content))
    return digest


def keep_plan(transaction: Transaction, plan: Plan) -> tuple[str, str]:
    """The shape of a plan that is kept as it is, and its id."""
    return PLAN, add_document(transaction, PLAN, plan_to_json(plan))


def load_document(transaction: Transaction, document: str) -> StoredDocument:
    """One document.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(documents).where(documents.c.id == document)).first()
    if row is None:
        raise NotThere(f"There is no document {document}.")
    return StoredDocument(row.id, row.shape, zlib.decompress(row.content).decode())


def put_instrument(transaction: Transaction, instrument: Instrument) -> None:
    """A tool that makes readings, new or as it is by now."""
    values = {
        "kind": instrument.kind,
        "name": instrument.name,
        "accuracy": instrument.accuracy,
        "last_check": instrument.last_check,
        "retired": instrument.retired,
    }
    changed = transaction.execute(update(instruments).where(instruments.c.id == instrument.id).values(**values))
    if not changed.rowcount:
        transaction.execute(insert(instruments).values(id=instrument.id, **values))


def all_instruments(transaction: Transaction) -> tuple[Instrument, ...]:
    """Every tool that makes readings, by kind and name."""
    rows = transaction.execute(select(instruments).order_by(instruments.c.kind, instruments.c.name, instruments.c.id))
    return tuple(Instrument(row.id, row.kind, row.name, row.accuracy, row.last_check, row.retired) for row in rows)


def put_draft(transaction: Transaction, draft: Draft) -> None:
    """What was typed so far, over what was typed before."""
    values = {"form": draft.form, "job": draft.job, "text": draft.text, "updated": draft.updated, "by": draft.by}
    changed = transaction.execute(update(drafts).where(drafts.c.id == draft.id).values(**values))
    if not changed.rowcount:
        transaction.execute(insert(drafts).values(id=draft.id, **values))


def draft_of(transaction: Transaction, draft: str) -> Draft | None:
    """One half-filled form; None if there is none."""
    row = transaction.execute(select(drafts).where(drafts.c.id == draft)).first()
    return None if row is None else _draft(row)


def drafts_of(transaction: Transaction, form: str, job: str | None) -> tuple[Draft, ...]:
    """Half-filled forms of one kind for one job, or for none, the newest first."""
    same_job = drafts.c.job.is_(None) if job is None else drafts.c.job == job
    rows = select(drafts).where(drafts.c.form == form, same_job).order_by(drafts.c.updated.desc(), drafts.c.id)
    return tuple(_draft(row) for row in transaction.execute(rows))


def delete_draft(transaction: Transaction, draft: str) -> None:
    """A half-filled form is no longer needed."""
    transaction.execute(_DROP_DRAFT, {"which": draft})


def _draft(row: Row[Any]) -> Draft:
    return Draft(row.id, row.form, row.text, row.updated, row.by, row.job)
