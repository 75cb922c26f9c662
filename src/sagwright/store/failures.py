"""What a database answers when it cannot → one sentence and what to do."""

from __future__ import annotations

from typing import Final

from sqlalchemy.engine import URL
from sqlalchemy.exc import DBAPIError, IntegrityError, SQLAlchemyError

from sagwright.errors import StoreFailed, shortened

NOTHING: Final = "Nothing was recorded."

_FULL: Final = ("there is no room left on the disk", "Make room, then try again.")
_READ_ONLY: Final = ("it is read-only here", "See who may write the file and its folder, then try again.")
_BUSY: Final = ("another program has been writing to it for too long", "Try again; close what else has it open.")
_CLOSED: Final = ("it cannot be opened", "See that the folder is there and may be read and written.")
_DAMAGED: Final = ("it is damaged", "Keep the file as it is, and restore the last backup.")
_NOT_OURS: Final = ("it is no file of records", "Give the path of another file.")
_GONE: Final = ("the connection was lost", "Try again; whether the server runs, its own log says.")

_SQLITE: Final = {
    "SQLITE_FULL": _FULL,
    "SQLITE_READONLY": _READ_ONLY,
    "SQLITE_BUSY": _BUSY,
    "SQLITE_LOCKED": _BUSY,
    "SQLITE_CANTOPEN": _CLOSED,
    "SQLITE_PERM": _CLOSED,
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_NOTADB": _NOT_OURS,
}
_POSTGRESQL: Final = {  # by the first characters of its SQLSTATE
    "53100": _FULL,
    "25006": _READ_ONLY,
    "55P03": _BUSY,
    "40": _BUSY,
    "08": _GONE,
    "57P": _GONE,
    "XX001": _DAMAGED,
    "XX002": _DAMAGED,
    "28": ("the server refuses the user or password", "See the URL."),
    "3D": ("the server has no database of that name", "See the URL, or make the database."),
    "42501": ("the user may not do this there", "Ask whoever runs the server."),
}


def failure(error: SQLAlchemyError, url: URL) -> StoreFailed:
    """The sentence for what went wrong; passwords in a URL stay hidden."""
    where = url.database if url.get_backend_name() == "sqlite" else url.render_as_string(hide_password=True)
    what, remedy = _meaning(error)
    return StoreFailed(f"The records at {where} cannot be used: {what}. {NOTHING}", remedy=remedy)


def _meaning(error: SQLAlchemyError) -> tuple[str, str]:
    origin = error.orig if isinstance(error, DBAPIError) else None
    name = getattr(origin, "sqlite_errorname", None) or ""
    state = getattr(origin, "sqlstate", None) or ""
    for start, meaning in (*_SQLITE.items(), *_POSTGRESQL.items()):
        if (name or "-").startswith(start) or (state or "-").startswith(start):
            return meaning
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    if lost or (type(origin).__name__ == "OperationalError" and not name):
        return _GONE
    reason = shortened(" ".join(str(origin or error).split()), 200)
    if isinstance(error, IntegrityError):
        return f"it refuses what does not fit to what is there ({reason})", ""
    return f"it answered: {reason}", ""
