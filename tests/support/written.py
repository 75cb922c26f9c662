"""Intakes and sheets as text."""

from __future__ import annotations

import pathlib

from sagwright.errors import InputError
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import SourceFile, YamlTable

EXAMPLES = pathlib.Path(__file__).parents[2] / "examples"


GOOD = (EXAMPLES / "shorten-t35.yaml").read_text("utf-8")


THIN = """\
shape: sheet/1
extends: air-fork/spacer-stack
maker: Specimen
model: Thin
revision: 1
chassis:
  only: {longest: 150 mm, travels: 110..150 mm, every: 10 mm}
"""


def tree_or_fault(text: str) -> None:
    """Reads a text; any other error than ours comes out."""
    tree, fault = None, None
    try:
        tree = read_text(text, SourceFile("x"))
    except InputError as error:
        fault = error
    assert fault.file == "x" if fault else isinstance(tree, YamlTable)
