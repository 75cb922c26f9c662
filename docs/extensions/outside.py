"""Nothing on a page may load from another server: the finished pages are read, and the build fails if one does."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

from sphinx.application import Sphinx
from sphinx.util import logging

LOG = logging.getLogger(__name__)
_FETCHING: Final = {"src", "srcset", "poster", "data"}
_LINKS: Final = {"stylesheet", "icon", "preload", "modulepreload", "manifest", "preconnect", "dns-prefetch"}
_AWAY: Final = re.compile(r"^\s*(https?:)?//", re.IGNORECASE)
_STYLE: Final = re.compile(r"(?:url\(|@import)\s*[\"']?((?:https?:)?//[^\"')\s]+)", re.IGNORECASE)


class _Reader(HTMLParser):
    """Collects the addresses a browser would fetch by itself."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element with an address that is fetched."""
        named = {name: value or "" for name, value in attrs}
        fetched = [value for name, value in named.items() if name in _FETCHING]
        if tag == "link" and _LINKS & set(named.get("rel", "").lower().split()):
            fetched.append(named.get("href", ""))
        self.found += [one for one in fetched if _AWAY.match(one)]


def fetched_from_outside(folder: Path) -> Iterator[tuple[Path, str]]:
    """Pages and style sheets of a folder with each address that they would fetch from another server."""
    for page in sorted(folder.rglob("*.html")):
        reader = _Reader()
        reader.feed(page.read_text("utf-8"))
        yield from ((page, one) for one in reader.found)
    for style in sorted(folder.rglob("*.css")):
        yield from ((style, one) for one in _STYLE.findall(style.read_text("utf-8")))


def _check(app: Sphinx, failed: Exception | None) -> None:
    if failed is None and app.builder.format == "html":
        for page, address in fetched_from_outside(Path(app.outdir)):
            LOG.warning("%s would load %s", page.name, address, type="outside")


def setup(app: Sphinx) -> dict[str, bool]:
    """Read the pages when they are finished."""
    app.connect("build-finished", _check)
    return {"parallel_read_safe": True}
