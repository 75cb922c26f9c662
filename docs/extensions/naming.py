"""Names in docstrings: errors link to their page by their bare name, and the words of a type are left as words."""

from __future__ import annotations

from docutils import nodes
from sphinx.addnodes import pending_xref
from sphinx.application import Sphinx
from sphinx.environment import BuildEnvironment

from sagwright import errors


def resolve(app: Sphinx, env: BuildEnvironment, node: pending_xref, shown: nodes.TextElement) -> nodes.Node | None:
    """A link for the bare name of an error; plain text for what is no name of ours; None for a name that is missing."""
    if node.get("refdomain") != "py":
        return None
    target = str(node["reftarget"])
    if hasattr(errors, target):
        full = f"{errors.__name__}.{target}"
        python = env.domains.python_domain
        return python.resolve_xref(env, node["refdoc"], app.builder, "exc", full, node, shown)
    return None if target.startswith("sagwright.") else shown


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the reader of names."""
    app.connect("missing-reference", resolve)
    return {"parallel_read_safe": True}
