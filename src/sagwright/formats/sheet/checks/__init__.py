"""What must hold between the values of a sheet, checked after each value alone is good.

Purpose: a shaft wider than its bore, an item that covers itself, a torque on a part without thread: found before
anything is computed, all at once, each at its line.

Concepts: `values` compares sizes, volumes and travels; `coil` what a coil spring needs; `items` the parts and what
covers what; `roles` that the items which interlocks depend on are there; `safety` that each hazard carries its safety
message.

The data's way: a built sheet → pairs of path and fault; `load` turns the path into file and line.
"""
