"""How Sphinx builds the pages of `make docs`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

import font_source_sans_pro  # noqa: E402  # the path above comes first

from sagwright.version import __version__  # noqa: E402

FONTS: Final = Path(str(font_source_sans_pro.__file__)).parent / "files"

project = "Sagwright"
author = "the Sagwright developers"
copyright = author  # noqa: A001  # the name that Sphinx reads
release = __version__

extensions = [
    "myst_parser",
    "sphinx.ext.autodoc",
    "sphinx.ext.napoleon",
    "sphinx_click",
    "docs.extensions.mathml",
    "docs.extensions.naming",
    "docs.extensions.outside",
    "docs.extensions.pictures",
    "docs.extensions.reference",
    "docs.extensions.running",
    "docs.extensions.citing",
]
exclude_patterns = ["extensions", "**/__pycache__"]
root_doc = "index"
nitpicky = True

myst_enable_extensions = ["colon_fence", "deflist", "dollarmath", "fieldlist"]
myst_heading_anchors = 3
myst_links_external_new_tab = False

autodoc_member_order = "bysource"
autodoc_typehints = "none"
napoleon_google_docstring = False
napoleon_use_rtype = False
napoleon_use_param = False
napoleon_use_ivar = True

html_theme = "furo"
html_math_renderer = "mathml"
html_title = f"Sagwright {release}"
html_static_path = [
    "assets",
    *(str(FONTS / f"SourceSansPro-{cut}.ttf") for cut in ("Regular", "It", "Semibold", "Bold")),
]
html_css_files = ["sheet.css"]
html_copy_source = False
html_show_sphinx = False
html_show_copyright = False
html_favicon = "../src/sagwright/web/assets/mark.svg"

_INK: Final = {
    "color-background-primary": "#fbf9f4",
    "color-background-secondary": "#f3efe5",
    "color-background-hover": "#e4ded1",
    "color-background-border": "#cfc8b8",
    "color-foreground-primary": "#1f262b",
    "color-foreground-secondary": "#55606a",
    "color-foreground-muted": "#5f6a73",
    "color-brand-primary": "#2f62a3",
    "color-brand-content": "#2f62a3",
    "color-brand-visited": "#6a3f8a",
    "color-code-background": "#f3efe5",
    "color-code-foreground": "#1f262b",
    "color-api-background": "#f3efe5",
    "color-api-name": "#1f262b",
    "color-api-pre-name": "#55606a",
    "color-problematic": "#1f262b",
    "font-stack": '"Source Sans Pro", system-ui, sans-serif',
}
html_theme_options: dict[str, Any] = {"light_css_variables": _INK, "navigation_with_keys": False}
pygments_style = "default"
