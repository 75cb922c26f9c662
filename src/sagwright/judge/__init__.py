"""A simulator of the unit on the bench: it carries a sequence out step by step and refuses what is unsafe.

Purpose: a second opinion on every plan. It shares no code with planning, so that one mistake cannot stand in both. It
knows the sheet, the unit as found, the target and the steps, and nothing of how they were planned: what a step says
it needs is never read.

Concepts:

- `state` is the simulated unit: what is on, what is charged, what is loose, where the oil is. `history` adds the
  clock, what was tightened, what still cures, what is to_recheck and what was found.
- `rule` is the form of a rule; `RULES` has each by its name, with a sentence that says what it is for, and why.
- `hazards` protects people, `interlocks` the order of the work, `cover_rules` what covers what, `step_rules` what a
  step must carry with it, `end_rules` the unit as it leaves.
- `run` goes through the steps, lets each rule look before the state changes, and collects refusals.

The data's way: steps go in, refusals come out; an empty answer lets a plan pass. A refusal is a defect of the
program, never of the technician.
"""

from __future__ import annotations

from sagwright.judge.rule import Refusal
from sagwright.judge.run import RULES, examine_sequence, require

__all__ = ["RULES", "Refusal", "examine_sequence", "require"]
