"""Jobs: the board, a job with its log, preparing the work, its papers, and handing over.

Purpose: everything about a job that is neither the counter, nor planning, nor the bench.

Concepts: `board` lists, `job` shows one, `unit` all visits of a unit; `log` and `correction` are entries and their
corrections; `prepare`, `work_order` and `work_sheet` show what was decided, read and not computed again; `hand_over`
closes a job; `actions` is the table of a job's small forms, `words` its words.

The data's way: `service.jobs.queries` → page; form → `service.jobs.actions`.
"""
