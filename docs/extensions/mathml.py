"""Formulas as MathML, which browsers draw without script, fonts or anything fetched."""

from __future__ import annotations

from docutils import nodes
from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx
from sphinx.util import logging
from sphinx.writers.html5 import HTML5Translator

LOG = logging.getLogger(__name__)


def _inline(writer: HTML5Translator, node: nodes.math) -> None:
    writer.body.append(_mathml(node, block=False))
    raise nodes.SkipNode


def _block(writer: HTML5Translator, node: nodes.math_block) -> None:
    writer.body.append(f'<div class="formula" tabindex="0" role="group">{_mathml(node, block=True)}</div>\n')
    raise nodes.SkipNode


def _mathml(node: nodes.Element, *, block: bool) -> str:
    """The formula of a node; one that cannot be read fails the build."""
    tex = node.astext()
    try:
        return str(tex2mathml(tex, as_block=block))
    except MathError as error:
        LOG.warning("formula %r: %s", tex, error, location=node, type="math")
        return f"<code>{tex}</code>"


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the renderer."""
    app.add_html_math_renderer("mathml", (_inline, None), (_block, None))
    return {"parallel_read_safe": True}
