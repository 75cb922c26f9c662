"""Who is at this device: asked once, kept in a cookie, and written beside every entry. It is a name and no sign-in."""

from __future__ import annotations

from typing import Final
from unicodedata import category
from urllib.parse import quote, unquote

WHO: Final = "who"
BY: Final = "by"
"""The field that asks for it, in every form, until it is known."""
YEARS: Final = 2 * 365 * 86_400  # s, how long a browser keeps it
LONGEST: Final = 80  # characters
UNSEEN: Final = frozenset({"Cc", "Cs", "Zl", "Zp"})


def readable(name: str) -> str:
    """A name on one line, without control characters; empty if nothing is left."""
    return " ".join("".join(" " if category(char) in UNSEEN else char for char in name).split())[:LONGEST].strip()


def who_of(cookie: str) -> str:
    """The name a cookie holds; empty where it holds none."""
    return readable(unquote(cookie[: LONGEST * 12], errors="ignore"))


def who_cookie(name: str) -> str:
    """A name as a cookie holds it."""
    return quote(name, safe="")
