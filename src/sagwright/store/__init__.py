"""Records ⇄ rows: SQLite in one file, or PostgreSQL by its URL. What was committed is on disk.

Purpose: to store and find what `domain.records` describes, on either database, without loss. It decides nothing:
which entry is allowed is asked before it gets here.

Concepts, from the bottom:

- `engine` opens connections so that a commit survives a crash: one writer at a time, a synced write-ahead log in
  SQLite, row locks in PostgreSQL. A database's error becomes one sentence with what to do.
- `tables` names every table; `schema` brings any released schema to the newest in one transaction, by `migrations`.
- `workshop` is the open store. `jobs`, `people`, `photos`, `documents` read and write one kind of record each.
- `rows` writes every table as plain rows in one order, the same for both databases. `export`, `backup` and `restore`
  are built on it; `atomic_files` puts a finished file in its place in one moment.
- `integrity` holds every row against the log it came from.

The data's way: a service opens the workshop, begins a transaction, reads domain values, adds an entry with the row
that follows from it, and commits.
"""
