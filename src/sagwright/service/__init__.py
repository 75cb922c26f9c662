"""Use cases: what a page, a command or a script can ask for.

Purpose: each use case is one function: load what is needed, ask planning, let the judge look, record, commit. The
time and new ids are arguments, so that it can be repeated in a test.

Concepts:

- `plan` and `calculators` compute and store nothing. `sheets` reads and stores revisions of spec sheets.
- `jobs`: intakes, decisions and every entry of a job's log. `bench`: the work at the stand and the final check.
- `workshop`: the records as a whole, customers, backup. `demo`: an invented workshop, made through these use cases.

The data's way: texts and ids → `formats` → domain → `planning` and `judge` → an entry → `store`; and back as domain
values that pages and commands show.
"""
