"""A simulator of the unit on the bench: it carries a sequence out step by step and refuses what is unsafe.

It knows the sheet, the unit as found, the target and the steps, and nothing of how they were planned: what a
step says it needs is never read. `RULES` says in a sentence each what it holds a sequence to, and why.
"""

from __future__ import annotations

from sagwright.judge.examination import RULES, examine, require
from sagwright.judge.rule import Refusal

__all__ = ["RULES", "Refusal", "examine", "require"]
