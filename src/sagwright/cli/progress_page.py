"""How far a piece of work has come, as blocks of a document."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sagwright.cli.document import Block, Paragraph, Tone
from sagwright.domain.item import Act
from sagwright.domain.plan import Plan
from sagwright.domain.task import Sequenced
from sagwright.phrases.steps import VERDICTS

GATE_SHUT: Final = "the gate does not pass; open nothing more, least of all what holds gas in, and send it out"
TAGGED: Final = 'Until that is decided it carries the tag "not rideable".'
RESTED: Final = 'The work rested: charge and torques are proven again first. The unit carries the tag "not rideable".'


def progress_blocks(work: Plan | Sequenced) -> Iterator[Block]:
    """What was done, what must still have waited, and what ends the work."""
    if work.done:
        yield Paragraph(f"Done: {', '.join(step.key for step in work.done)}.", Tone.SOFT)
    if any(step.act is Act.BREAK for step in work.done) and not work.stops:
        yield Paragraph(RESTED, Tone.STRONG)
    for step in work.done:
        held = [later.key for later in work.steps if step.key in {need.step for need in later.needs}]
        if step.waiting and held:
            yield Paragraph(f"The waiting after {step.key} must be over before {', '.join(held)}.", Tone.STRONG)
    for stop in work.stops:
        verdict = VERDICTS[stop.verdict] if stop.verdict else GATE_SHUT
        yield Paragraph(f"Stop. Not as it must be: {stop.what} What follows: {verdict}. {TAGGED}", Tone.STRONG)
