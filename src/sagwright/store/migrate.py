"""The schema of a database: which one it has, and how it gets the newest."""

from __future__ import annotations

import pathlib
from typing import Final

from sqlalchemy import Engine, inspect, text

from sagwright.errors import StoreFailed
from sagwright.store.engine import Transaction, one_at_a_time, reading, writing

NEWEST: Final = "0001"
"""The schema that `tables` describes."""

KNOWN: Final = ("0001",)
"""Every schema there was, oldest first."""

_SCRIPTS: Final = pathlib.Path(__file__).parent / "migrations"


def schema_of(transaction: Transaction) -> str | None:
    """The schema a database has; None for an empty one.

    Raises
    ------
    StoreFailed
        If there are tables, but none that say which schema it is.
    """
    tables = inspect(transaction).get_table_names()
    if "alembic_version" in tables:
        return transaction.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if tables:
        rule = f"There is another program's data ({', '.join(sorted(tables)[:3])}) where the records should be."
        raise StoreFailed(rule, remedy="Give a path or URL of its own to the records.")
    return None


def upgrade(engine: Engine) -> None:
    """Bring a database to the newest schema, in one transaction: it has either the old or the new one.

    Raises
    ------
    StoreFailed
        If a newer program made it, or it cannot be written.
    """
    with reading(engine) as transaction:
        if require_known(schema_of(transaction)) == NEWEST:
            return
    with writing(engine) as transaction:
        one_at_a_time(transaction)
        if require_known(schema_of(transaction)) != NEWEST:
            _run(transaction)


def require_known(schema: str | None) -> str | None:
    """The same schema, if this program knows it.

    Raises
    ------
    StoreFailed
    """
    if schema is not None and schema not in KNOWN:
        rule = f"The records have the schema {schema}, and this program knows up to {NEWEST}."
        raise StoreFailed(rule, remedy="A newer program wrote them; use that one.")
    return schema


def _run(transaction: Transaction) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_SCRIPTS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = transaction
    command.upgrade(config, "head")
