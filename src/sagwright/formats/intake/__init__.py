"""Intakes, format intake/1: the unit, as found, rider, bike, wish and tasks.

Purpose: what is known of a job is an intake, whether it was a file, a form at the counter or the log of a job.

Concepts:

- `shape` is the written form and `load` its way to the domain, with the sheet it names.
- `setup` and `as_found` read a setup as it is written, also on a command line.
- `facts` are single texts by path ("wish.travel: 130 mm"), as a form sends them; each is read alone.
- `assembly` puts facts, bike, answers and tasks together to one intake.

The data's way: file → `load`; or form → `facts` → log → `assembly` → `load`. Both end in `domain.intake.Intake`.
"""
