"""What a workshop stores: people, units, instruments, photos, and jobs as logs of entries.

Purpose: to say what a record is, independent of any database or page. An entry is added and never changed; a mistake
is put right by another entry that names the one it corrects.

Concepts:

- `entry`: one line of a log, with its moment, who wrote it and the id of the submission it came from.
- `payloads`: the kinds of entries, each a frozen value. `text` limits and cleans the words that people type.
- `stages`: check in, plan, prepare, bench, final check, hand over; and how a job ends.
- `fold`: entries in their order, corrections applied, give a `job`: its stage and everything that is known of it.
- `rules`: which kind of entry may be added at which stage.
- `entities`: customers, units, instruments, photos, revisions of sheets.

The data's way: a submission becomes an entry if `rules` allow it, the entry joins the log, and `fold` reads the whole
log again. Nothing else holds the state of a job; a row of the board is a copy of what `fold` gave.
"""
