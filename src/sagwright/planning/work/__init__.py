"""What is done on the bench: which parts come off, what is changed, read and renewed, in which order, with what.

Purpose: from the difference between two setups, and from tasks, to steps that hurt neither the unit nor anyone.

Concepts:

- `scope`: what comes off is the closure of what covers the items to change; a task may want more looked at or
  renewed.
- `interlocks` is a table of every order between two steps: what covers what, or an interlock, each row under the name
  of the judge's rule. `steps` writes each step out; `readings` adds what is to be read, with its limits.
- `tasks`, `air_tasks`, `coil_tasks`, `wish_tasks`: what tasks make of a unit; what they share is done once.
- `tools_and_parts`: what all steps need together.
- `sequence`: the needs and prices go to `search`; steps come back in the order of least work.
- `composition`: all of it in one function, for plans, tasks alone, work that goes on, and the way back.

The data's way: as found + target + tasks → scope → steps with needs → order → tools and parts. The judge then carries
the order out without looking at the needs.
"""
