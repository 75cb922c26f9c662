"""Values of the domain as sentences for a technician, in the units and the decimal mark asked for.

Purpose: one home for every sentence that a screen, a print or a terminal shows, so that the same fact reads the same
everywhere, and a word is changed in one place.

Concepts:

- `quantities` writes one number with its unit and its uncertainty; every other module goes through it.
- `findings` fills a template by the code of a finding (`finding_templates`, `bike_finding_templates`); a test holds
  that each code has its sentence and each number its place in it.
- `steps` writes titles, instructions and safety messages; `tools_and_parts` what the work needs and why.
- `spring`, `spring_terms`, `coil`, `changes`, `stance`, `diagnosis`, `sheets`, `entries` are one subject each.
- `plan_rows` gives the rows of a plan once, for tables at a terminal and on pages: behaviours, options, changes, bike,
  findings. `labelled` is one line of a list of facts.
- `intake_labels` names the fields of an intake; `errors` turns an error and its fields into one sentence.

The data's way: a value and a `Choice` of units go in, text comes out. No HTML, no colour, no width: pages and the
terminal lay the text out.
"""
