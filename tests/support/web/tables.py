"""Tables of a page, read from its text."""

from __future__ import annotations

import re
from html import unescape

CELL = re.compile(r"<t[dh][^>]*>(.*?)</t[dh]>", re.DOTALL)


def rows(page: str, section: str) -> list[list[str]]:
    """The cells of the table in a section, by the section's class."""
    inside = re.search(rf'<section class="{section}".*?</section>', page, re.DOTALL)
    assert inside is not None
    table = re.findall(r"<tr.*?</tr>", inside.group(), re.DOTALL)
    return [[unescape(re.sub(r"<[^>]+>", "", cell)).strip() for cell in CELL.findall(row)] for row in table]
