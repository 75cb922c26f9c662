"""Kinds of fields: how a text becomes a number, a choice, a day or a task, and the fault when it does not.

Purpose: a length is read the same way in a sheet, an intake, a bike and at a command line.

Concepts: `values` reads numbers with unit, tolerance, uncertainty and origin ("31.8 ± 0.03 mm, measured"); `kinds`
setups pydantic fields from them, each with its limits and its hint; `tasks` reads a task such as
"set-pressure=80psi".

The data's way: a node's text and a kind of field → a domain value, or a fault with the place of the node.
"""
