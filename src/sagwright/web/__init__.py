"""Pages and forms: a page is a frozen dataclass of what it shows, a view fills it, a template shows it.

Purpose: the workshop's own server, for browsers on this machine: counter, planning, bench and records.

Concepts, by area of the site:

- `http`: requests, forms, number fields, the frame of a page, the guard that lets only our own pages in.
- `counter`: checking a unit in. `plan`: options, controls and the decision. `bench`: steps and the final check.
- `jobs`: the board, one job, its log, preparing and handing over. `sheets`: spec sheets, and measuring a unit.
- `routes` names every page, `app` is the server, `settings` what a browser remembers, `files` photos and the worker
  script, `drawings` the pictures of a page, `job_frame` what stands around the pages of a job.

A template stands in the folder of its area: `templates/counter/check_in.html` is shown by `counter/check_in.py`. A
test compares the fields of each page with what its template uses.

The data's way: request → view → `service` → page → template → HTML. A form acts, then leads to a page. Script only
makes a form quicker: without it every form still works.
"""
