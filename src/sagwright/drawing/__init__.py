"""Values of the domain as SVG text.

Purpose: pictures that cannot differ from the tables beside them, because they are drawn from the same values. Pure:
the same values give the same bytes; nothing is read and nothing is written.

Concepts:

- `svg` has the pieces of a picture, and the look: one colour, line pattern and lettering per meaning, never by colour
  alone.
- `force_plot` draws force over travel for a page; `curve_chart` makes full charts with a chart engine.
- `side_view` draws bikes as they stand, `bike_lines` the outline of one.
- `cutaway` draws the inside of a spring leg, `precedence` which step needs which.

The data's way: values and a `Choice` of units go in; geometry is laid out in metres, scaled to pixels, and written.
"""
