"""What is slow the first time, done before somebody waits for it."""

from __future__ import annotations

import gc

from sagwright.web.render import TEMPLATES, environment


def warm() -> None:
    """Read a sheet, so that the shapes of the format are built, and the templates; then let the collector leave alone
    what is there to stay: walking over it is what made one answer in twenty take twice as long."""
    from sagwright.formats.sheet.catalogue import shipped_sheets
    from sagwright.formats.sheet.load import load_sheet

    load_sheet(shipped_sheets()[0], files=False)
    for template in TEMPLATES.glob("*.html"):
        environment().get_template(template.name)
    gc.collect()
    gc.freeze()
