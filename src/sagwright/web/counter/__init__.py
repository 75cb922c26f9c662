"""The counter: a unit is checked in, and what is not yet known is settled.

Purpose: the form is a list of facts. A field is a path of the intake; what was typed becomes its text with the unit
that stood beside it.

Concepts: `check_in` and `update_intake` are the pages; `sections` and `questions` lay out what is asked, `bike_chart`
the geometry of a bike; `answers` reads what was typed and everything that is wrong with it.

The data's way: form → `answers` → facts → `service.jobs.intake`. Half a form is a draft under the id that its
submission will have, so that a second tap leads to the job it became.
"""
