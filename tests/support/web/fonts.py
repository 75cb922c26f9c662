"""The letters that a browser shows a page with."""

from __future__ import annotations

from playwright.sync_api import CDPSession, Page

LETTERED = "body *:not(.editor *, option)"  # a sheet's text keeps to the machine's fixed-width letters


def fonts_of(page: Page, lettered: str = LETTERED) -> set[tuple[str, bool]]:
    """The fonts that the browser lettered a page with, and whether it had each from us."""
    page.evaluate("() => document.fonts.ready.then(() => null)")
    asking: CDPSession = page.context.new_cdp_session(page)
    asking.send("DOM.enable")
    asking.send("CSS.enable")
    root = asking.send("DOM.getDocument")["root"]["nodeId"]
    nodes = asking.send("DOM.querySelectorAll", {"nodeId": root, "selector": lettered})["nodeIds"]
    answers = (asking.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"] for node in nodes)
    return {(font["familyName"], font["isCustomFont"]) for fonts in answers for font in fonts}
