"""From an intake to a plan: model, checks, options, changes, steps, order. Pure: no clock, no files, no environment.

Purpose: to compute what a setup does, to choose the setup that does what is wished, and to find the work that leads
there. The same intake gives the same plan in every process.

Concepts, in the order in which they import each other:

- `spring`: a sheet and a setup as a spring that physics can compute, air or coil.
- `checks`: findings about an intake. `bike`: the bike round the fork, its angles, loads, clearance and limits.
- `matching`: every setup that reaches the travel, each at its best pressure or preload, and the one nearest to the
  aim.
- `work`: what comes off, changes, is read and goes back on, as steps that need each other. `search`: their best
  order.
- `plan`: all of it, in one function. `progress`: what is left of work that was begun.
- `diagnosis`: readings after the work, predicted and explained. `gauge_reading`: what a reading of a gauge means.

The data's way: `Intake` → findings, load and as-found behaviour → options → target → changes → steps → order →
`Plan`. Everything is a domain value; numpy is used inside and never handed out.
"""
