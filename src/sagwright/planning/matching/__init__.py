"""Choosing the target: every setup that reaches the travel, each at the pressure or preload nearest to the aim.

Purpose: to answer what a unit should become, with everything else it could become beside it.

Concepts:

- `design_load` is the load to choose for; `aim` says how as found rode, and whether that can be the aim.
- `air`, `two_valve`, `coil`: the options of each kind of spring.
- `solver` finds the pressure of least distance for all of them as one array. At a fixed exponent force and energy are
  `affine` in the charge, so most answers are closed form; a spring with a second valve answers by numbers.
- `target` ranks them and takes the nearest that is permitted. `coil_shelf` chooses a coil where there is no unit.

The data's way: intake → load, aim and references → setups of `spring.setups` → array of behaviours → options, nearest
first, each with its uncertainty.
"""
