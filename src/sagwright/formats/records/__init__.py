"""What a workshop stores, as JSON and CSV: entries, jobs, decisions, readings, and a whole workshop.

Purpose: the stored and exchanged form of every record, with its version, apart from the database that holds it.

Concepts: `entries` is one entry or half-filled form; `jobs` a job, a list or a unit's history for other programs;
`decision` the stored document of a decided plan, read back without computing it again; `readings` what was typed at
the bench; `workshop` and `workshop_csv` everything at once, a row at a time; `sheet_words_0002` what a schema renamed.

The data's way: domain values ⇄ text. `store` puts the text into rows, `service` into files.
"""
