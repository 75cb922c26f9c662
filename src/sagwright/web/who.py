"""Who is at this browser: asked once, kept in a cookie, and written beside every entry. It is a name and no sign-in."""

from __future__ import annotations

from typing import Final
from unicodedata import category
from urllib.parse import quote, unquote

BY: Final = "by"
"""The cookie that remembers it, and the field that asks for it."""
LONGEST: Final = 80  # characters
CONTROL: Final = frozenset({"Cc", "Cs", "Zl", "Zp"})


def one_line(name: str) -> str:
    """A name on one line, without control characters; empty if nothing is left."""
    return " ".join("".join(" " if category(char) in CONTROL else char for char in name).split())[:LONGEST].strip()


def name_of(cookie: str) -> str:
    """The name a cookie holds; empty where it holds none."""
    return one_line(unquote(cookie[: LONGEST * 12], errors="ignore"))


def cookie_of_name(name: str) -> str:
    """A name as a cookie holds it."""
    return quote(name, safe="")
