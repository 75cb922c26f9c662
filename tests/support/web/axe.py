"""axe-core, run in a page of the browser."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from playwright.sync_api import Page

RUN = """async (options) => (await axe.run(document, options)).violations.map(
  v => `${v.id} (${v.impact}): ${v.help}\\n` + v.nodes.map(n => `  ${n.target} ${n.failureSummary}`).join('\\n'))"""
BUT_COLOUR = {"color-contrast": {"enabled": False}}  # takes longer than all others, and no size changes a colour


@cache
def _source() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")


def violations(page: Page, *, colour: bool = True, only: tuple[str, ...] = ()) -> list[str]:
    """Everything that axe finds wrong with a page as it stands, by all its rules or by some."""
    page.evaluate(_source())
    rules = {"runOnly": list(only)} if only else {"rules": {} if colour else BUT_COLOUR}
    found: list[str] = page.evaluate(RUN, rules)
    return found
