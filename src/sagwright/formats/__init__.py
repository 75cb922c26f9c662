"""What people and programs write: spec sheets, intakes, bikes and stored shapes, read into the domain and written from
it.

Purpose: input is checked once, here, and refused with one sentence that says where, which rule, what was found and
what to do. Past this layer every value is known to be well formed. Only here are pydantic and YAML used.

Concepts, in the order in which they import each other:

- `source`: a file as text, lists and maps that know their file and line.
- `fields`: kinds of fields (a length, a pressure, a choice) and how each is read.
- `faults`: what is wrong, collected over a whole file, with file, line, field, rule and remedy.
- `sheet`, `bike`, `intake`: one document each: its shape, its loading, its way to the domain.
- `output`: what is computed, as JSON. `records`: what a workshop stores, as JSON and CSV.
- `codec`: dataclasses as JSON and back, both from one description of each class.
- `json_text` writes JSON, `schema` prints the JSON Schema that editors use, `demo` is the invented bike of the demo.

The data's way: file → `source` → a shape of `sheet`, `bike` or `intake` → checks between values → domain; and domain
→ `output` or `records` → text. Shapes carry a version, "sheet/1". The same value gives the same bytes.
"""
