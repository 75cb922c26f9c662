"""Directives for examples: `file` writes a file that a page shows, `run` runs the program and shows what it printed.

Both are run while the pages are built, and again by the tests. What a page quotes can so never differ from the program.
"""

from __future__ import annotations

from typing import ClassVar, Final

from docutils import nodes
from docutils.parsers.rst import directives
from sphinx.application import Sphinx
from sphinx.util import logging
from sphinx.util.docutils import SphinxDirective

from docs.extensions.workplace import Unexpected, Workplace, command_of

LOG = logging.getLogger(__name__)
_OPEN: Final[dict[str, Workplace]] = {}


class File(SphinxDirective):
    """A file with its name over it."""

    required_arguments = 1
    has_content = True

    def run(self) -> list[nodes.Node]:
        """Write it, and show it."""
        name, text = self.arguments[0], "\n".join(self.content)
        _workplace(self.env.docname).write(name, text)
        language = name.rpartition(".")[2]
        block = nodes.literal_block(text, text, language=language)
        return [_captioned(name, block)]


class Run(SphinxDirective):
    """A command of the program, and what it prints."""

    required_arguments = 1
    final_argument_whitespace = True
    has_content = True
    option_spec: ClassVar = {
        "exit": directives.nonnegative_int,
        "from": directives.unchanged,
        "part": directives.nonnegative_int,
        "lines": directives.positive_int,
        "picture": directives.unchanged,
        "alt": directives.unchanged,
        "quiet": directives.flag,
    }

    def run(self) -> list[nodes.Node]:
        """Run it, and show both."""
        options = {key: str(value) for key, value in self.options.items()}
        command = command_of(self.arguments[0], options, "\n".join(self.content))
        place = _workplace(self.env.docname)
        try:
            shown = place.run(command)
        except Unexpected as fault:
            LOG.warning("%s", fault, location=self.get_location(), type="run")
            shown = str(fault)
        typed = f"$ sagwright {command.line}"
        text = typed if "quiet" in self.options else f"{typed}\n{shown}"
        block = nodes.literal_block(text, text, language="console")
        return [block, *self._picture(place)]

    def _picture(self, place: Workplace) -> list[nodes.Node]:
        name = self.options.get("picture")
        if not name:
            return []
        drawing = (place.folder / name).read_text("utf-8")
        drawing = drawing[drawing.index("<svg") :]
        label = nodes.paragraph("", self.options["alt"], classes=["legend"])
        return [nodes.raw("", f'<div class="drawing">{drawing}</div>', format="html"), label]


def _captioned(name: str, block: nodes.literal_block) -> nodes.container:
    caption = nodes.caption("", "", nodes.literal("", name))
    return nodes.container("", caption, block, literal_block=True, classes=["literal-block-wrapper"])


def _workplace(page: str) -> Workplace:
    if page not in _OPEN:
        _OPEN[page] = Workplace()
    return _OPEN[page]


def _begin(_app: Sphinx, page: str, _source: list[str]) -> None:
    """A page that is read again begins with an empty folder."""
    _close(page)


def _close(page: str) -> None:
    if page in _OPEN:
        _OPEN.pop(page).close()


def _end(_app: Sphinx, _failed: Exception | None) -> None:
    for page in list(_OPEN):
        _close(page)


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the directives."""
    app.add_directive("file", File)
    app.add_directive("run", Run)
    app.connect("source-read", _begin)
    app.connect("build-finished", _end)
    return {"parallel_read_safe": False}
