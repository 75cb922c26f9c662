"""Findings → sentences: a template per code, with the finding's figures and words in its blanks.

A blank is `{name}`: a figure in the units asked for, or a word as it is. `{name:travel spacer}` counts
things, and `{name!k}` is a word, or several, that `FINDING_WORDS` puts in other words. What stands in [ ] is left
out unless the finding says all of its blanks.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from string import Formatter
from typing import Final

from sagwright.domain.finding import Finding
from sagwright.domain.value import Figure
from sagwright.errors import Defect
from sagwright.phrases import quantities
from sagwright.phrases.finding_templates import FINDING_TEMPLATES, FINDING_WORDS
from sagwright.units import UnitChoice

_OPTIONAL: Final = re.compile(r"\[([^\]]*)\]")

_Given = Mapping[str, Figure | str]


def finding_sentence(finding: Finding, choice: UnitChoice) -> str:
    """What a finding says, and what to do next.

    Raises
    ------
    Defect
        If its code has no template, or it lacks what the template names.
    """
    template = FINDING_TEMPLATES.get(finding.code)
    if template is None:
        raise Defect(f"there is no sentence for the finding {finding.code!r}")
    given: _Given = dict((*finding.figures, *finding.words))
    needed = _OPTIONAL.sub(lambda found: _kept(found[1], given), template)
    if missing := {part.name for part in parts(needed) if part.name} - given.keys():
        raise Defect(f"the finding {finding.code!r} does not say {', '.join(sorted(missing))}")
    return "".join(part.before + _filled(part, given, choice) for part in parts(needed))


@dataclass(frozen=True, slots=True)
class TemplatePart:
    """A piece of a template: text, and the blank after it, whose name is empty if there is none."""

    before: str
    name: str
    noun: str
    is_key: bool


def parts(template: str) -> Iterator[TemplatePart]:
    """The pieces of a template, brackets and all."""
    for before, name, noun, conversion in Formatter().parse(template):
        yield TemplatePart(before, name or "", noun or "", conversion == "k")


def _kept(optional: str, given: _Given) -> str:
    return optional if all(part.name in given for part in parts(optional) if part.name) else ""


def _filled(part: TemplatePart, given: _Given, choice: UnitChoice) -> str:
    if not part.name:
        return ""
    filling = given[part.name]
    if isinstance(filling, str):
        return _in_words(filling) if part.is_key else filling
    return quantities.count_text(filling.value, part.noun) if part.noun else quantities.figure(filling, choice)


def _in_words(keys: str) -> str:
    """One key or several with commas between them, in words."""
    listed = keys.split(", ")
    if unknown := [key for key in listed if key not in FINDING_WORDS]:
        raise Defect(f"there are no words for {', '.join(unknown)}")
    return ", ".join(FINDING_WORDS[key] for key in listed)
