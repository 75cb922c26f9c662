"""Citations by the keys of `sagwright.sources`: a role for prose, square brackets in docstrings, a list of them all."""

from __future__ import annotations

import re
from typing import Final

from docutils import nodes
from docutils.parsers.rst.states import Inliner
from sphinx.addnodes import pending_xref
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from sagwright.sources import SOURCES

PAGE: Final = "physics/sources"
_KEYS: Final = re.compile(r"\[(" + "|".join(map(re.escape, SOURCES)) + r")\](?!`)")


def anchor_of(key: str) -> str:
    """Where a source stands on its page."""
    return f"source-{key}"


def source_role(
    _name: str, _raw: str, text: str, line: int, inliner: Inliner, *_rest: object
) -> tuple[list[nodes.Node], list[nodes.system_message]]:
    """A key of a source, as a link to its citation."""
    if text not in SOURCES:
        return [], [inliner.reporter.error(f"There is no source {text!r}.", line=line)]
    link = pending_xref(
        "", nodes.inline("", text), refdomain="std", reftype="ref", reftarget=anchor_of(text), refexplicit=True
    )
    return [nodes.Text("["), link, nodes.Text("]")], []


class Sources(SphinxDirective):
    """Every source: its key, the citation, and how it was met."""

    def run(self) -> list[nodes.Node]:
        """A list of definitions."""
        listed = nodes.definition_list()
        standard = self.env.domains.standard_domain
        for key, source in SOURCES.items():
            anchor = anchor_of(key)
            term = nodes.term("", "", nodes.strong("", key), ids=[anchor], names=[anchor])
            seen = nodes.paragraph("", "", nodes.emphasis("", f"Seen: {source.how_known}."))
            about = nodes.definition("", nodes.paragraph("", source.citation), seen)
            listed += nodes.definition_list_item("", term, about)
            standard.labels[anchor] = (self.env.docname, anchor, key)
            standard.anonlabels[anchor] = (self.env.docname, anchor)
        return [listed]


def link_keys(_app: Sphinx, _what: str, _name: str, _about: object, _options: object, lines: list[str]) -> None:
    """Keys in square brackets become links, in every docstring shown."""
    lines[:] = [_KEYS.sub(r":source:`\1`", line) for line in lines]


_SENTENCES: Final[dict[str, list[str]]] = {}


def keep(_app: Sphinx, what: str, name: str, _about: object, _options: object, lines: list[str]) -> None:
    """Put the docstring of a constant by, before a colon in its sentence is taken for the end of a type."""
    if what in ("attribute", "data"):
        _SENTENCES[name] = list(lines)


def give_back(_app: Sphinx, _what: str, name: str, _about: object, _options: object, lines: list[str]) -> None:
    """The docstring of a constant as it was."""
    lines[:] = _SENTENCES.pop(name, lines)


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the role, the list and the reader of docstrings."""
    app.setup_extension("sphinx.ext.autodoc")
    app.add_role("source", source_role)
    app.add_directive("sources", Sources)
    app.connect("autodoc-process-docstring", keep, priority=100)
    app.connect("autodoc-process-docstring", give_back, priority=900)
    app.connect("autodoc-process-docstring", link_keys, priority=950)
    return {"parallel_read_safe": True}
