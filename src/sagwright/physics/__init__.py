"""Formulas of gas, springs, frames and riders: floats or arrays in, floats or arrays out.

Purpose: each formula has one home here, with its source, its units and the range it is valid for. Outside that range
it raises; it never extrapolates. Nothing here knows a sheet, a setup or a unit, reads a file, or asks the clock.

Concepts, from the bottom:

- `numeric` holds the number types (a float, or an array that broadcasts), refusal of bad input, and root finding.
- `gas`, `real_gas`, `atmosphere`, `gauge`, `leak` are gas in a chamber: ideal or real, absolute and gauge pressure.
- `spring` is the centre: sealed chambers, ports between them and stops give a force over travel. The state is gas
  masses. F(x) = −Σ (p_i − p_ambient) dV_i/dx + stops. Edges of ports cut the travel into pieces; within a piece each
  chamber, alone or joined, keeps p·Vⁿ. `bumper` and `coil` give stops, `coil_wire` the steel, `floating_piston` a
  port that opens where two pressures meet.
- `thermal` and `thermal_piston` let the gas warm and cool during a stroke: y = p·V^γ makes the equation linear.
- `frame`, `stance`, `rider`, `load`, `clearance` are the bike: a rotation about the rear axle, loads at rest, tyre
  room.
- `uncertainty` carries standard uncertainties through any formula by computing it with arrays of shifted inputs.

The data's way: planning turns sheet and setup into chambers, ports, stops and masses, calls a formula once for many
setups as one array, and reads forces, energies and positions back. SI throughout; angles in rad.
"""
