"""A sheet and a setup as a spring that can be computed: air, coil, and chambers with a valve of their own.

Purpose: the one place that knows how settings and parts become chambers, ports, stops and gas masses.

Concepts:

- `parts`: what a setup puts into the spring (`Fit`), and the spring of one or many setups (`Model`).
- `air` (with `valves`: chambers with a valve of their own) and `coil` (with `wound_coil`: how stiff one is) answer the
  same questions, those of `kind.SpringKind`; `spring_kind` says which of them a sheet has. `model` builds either.
- `setups`: which setups a unit may turn out to have, and which reach a travel. `changes`: what differs between two.
- `behaviour`: sag, breakaway force, mid-stroke support, ramp-up and bottom-out energy, and how far two sets are
  apart.
- `curves`, `cutaway`: the spring over its travel, and its inside. `uncertainty`: what all of it is good to.

The data's way: sheet + setup → `Fit` → `Model` and gas masses → a stroke of `physics.spring` → behaviour. Many setups
of one chassis are arrays in one `Fit`, so that they cost little more than one.
"""
