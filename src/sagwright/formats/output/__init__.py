"""What was computed, as JSON for other programs: plans, sequences, stances, curves and calculators.

Purpose: a stable form of every answer. SI throughout, every number {"value", "u"}, keys of pressures end in _gauge or
_abs, angles in rad, temperatures in K.

Concepts: `work` has the pieces that a plan and a sequence share; `plan` is plan/1; `stance` is stance/1; `spring` has
the answers of the calculators.

The data's way: a domain value → plain dicts and lists → `json_text` → text. The same value gives the same bytes.
"""
