"""The inside of a spring leg, to scale along its length: chambers, piston, spacers, port, coil and oil.

Purpose: to show at one look what a setup puts into the leg, and what a change moves.

Concepts: `cutaway` draws an air leg and calls `coil` for a coil one; `layout` is the paper under both, with the
scale, the ruler and the labels.

The data's way: planning computes a `Cutaway` of lengths and volumes; a leg as found and one at the target are drawn
side by side on one paper. Widths are not to scale, and the drawing says so.
"""
