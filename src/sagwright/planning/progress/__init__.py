"""Work that was begun: what was found, what is left, and how the unit is closed again when the work ends early.

Purpose: a unit is never as expected. What is found inside corrects as found; the rest of the work is planned anew
around what is done, in an order near to the one that was begun.

Concepts: `resume` is the one way in; `as_found` applies what was found, and tasks added at the stand; `remaining`
finds which steps are left; `reopening` opens once more what a late task needs; `reassembly` closes a unit whose work
ends; `recheck` adds what must be checked again after a break, and the verdict that ends the work.

The data's way: planned work + steps done + findings → corrected as found → target and steps anew → remaining steps in
order, or the verdict and the way back.
"""
