"""What the trade talks about, as frozen values: SI, tuples and never arrays, no behaviour that reaches outward.

Purpose: every layer above speaks in these types, so that a word means one thing in the whole program. They hold what
is known and check nothing but themselves; deciding, computing and writing down are the work of other layers.

Concepts:

- `value`: a number with its standard uncertainty, its origin and the text it was written as; or what is unknown yet.
- `sheet`, with `air_spring`, `coil_spring` and `item`: a family of units, its spring, its parts and what covers what.
- `setup`: every setting and loose part of one unit, as found, as target or as left; and the change between two of
  them. `settings`: a row for each setting, for whatever goes over all of them.
- `bike`, `stance`: the frame round the fork, how it stands, what the fork carries.
- `intake`: what came in, with rider, bike and wish. `task`: one thing that is asked of a unit. `step`: one action.
- `finding`: what a check found. `behaviour`, `curve`, `cutaway`, `gauge_reading`, `diagnosis`: what was computed.
- `work`: one piece of work, from as found to its target. `plan`: work, and how its target was selected.
- `records`: what a workshop stores.

The data's way: `formats` reads files and forms into these values, `planning` makes new ones from them, and `phrases`,
`drawing`, `formats` and `store` turn them into sentences, pictures, JSON and rows.
"""
