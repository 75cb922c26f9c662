"""How an older schema becomes the newest, revision by revision; a revision that was released is never changed.

Purpose: a workshop's file from any released version opens in this one.

Concepts: `versions` holds one module per revision with a forward step only; `env` is what Alembic asks for when it
runs them. A test carries a frozen copy of every released schema through all later revisions, with rows and without.

The data's way: opening a database compares its revision with the newest, takes the steps between in one transaction,
and records the new revision in it. A failure leaves the file as it was.
"""
