"""Jobs: from an intake at the counter to a decided plan, and every entry of the log on the way.

Purpose: what is recorded of a job is recorded here.

Concepts: `log` adds an entry in one transaction, once per submission id; `actions` are the entries anyone may hand
in; `intake` opens a job; `decision` makes a plan of what is known and stores it when it is decided on; `options`
lists the tasks that could be done in the same opening; `queries` reads jobs, lists and a unit's visits.

The data's way: a submission → `actions` → `log` → entries and the job's row; `queries` → the folded job → pages.
"""
