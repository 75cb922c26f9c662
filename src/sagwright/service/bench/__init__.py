"""Work at the stand: where it is, what comes next, and what may be recorded.

Purpose: the plan that was decided on is followed step by step; a step is recorded only with the evidence it asks for,
and a finding plans the rest anew in the same transaction.

Concepts: `progress` folds what was done and found at the stand out of the log; `state` computes the decided work
again from the texts it came from, and what is left of it; `steps` records steps, findings and breaks; `final_check`
predicts and compares the readings after the work.

The data's way: log → `progress` → `state` → the next step; what was typed → `steps` → an entry, and a new rest of the
work where something was found.
"""
