"""Spec sheets, format sheet/1: found by name, laid over the sheets they extend, checked, and built into the domain.

Purpose: a sheet may say little and inherit much, and may be wrong in any place; what leaves this package is a
complete `Sheet`, or every fault of it at once.

Concepts:

- `catalogue` finds sheets by name, shipped or beside the file that names them, and merges a sheet over the one it
  extends.
- `shape`, `item_shape`, `coil` and `valve` are the written form, `setup` and `item_setup` the way to the domain.
- `checks` holds values against each other on the merged sheet.
- `load` does all of it in order, also for a revision that a workshop stores as text; `measured` writes a sheet from
  what was measured on a unit.

The data's way: name → files → one merged tree → shapes → checks → `domain.sheet.Sheet`.
"""
