"""Findings about an intake, and the one place where findings are made.

Purpose: as found is described, however wrong; only a wish is refused; what somebody must answer is a question.

Concepts: `findings` has every code with its severity, and setups a finding with its numbers; `intake` holds the
checks of any unit as a list of functions; `coil` those of a coil fork.

The data's way: an intake → each check in turn → findings with SI numbers; `phrases.findings` gives each its sentence.
The packages `bike` and `matching` setup findings of their own through `findings`.
"""
