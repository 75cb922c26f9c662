"""The commands: what each is called, its options, and the one call it makes.

Purpose: a start reads all of them, so a module here imports click alone at its top; what computes is imported inside
the function that needs it.

Concepts: `plan`, `calculators`, `sheets` need no workshop; `job`, `job_work`, `job_close`, `people` and `maintenance`
read and write its records; `serve` starts the pages. `options`, `record_options` and `job_options` are shared.

The data's way: text of an option → a value of the domain by `formats` → one function of `service` → a view.
"""
