"""The bench: one step at a time, problems, and the final check; made for a tablet and dirty hands.

Purpose: the next step with what it needs, and a form for its evidence. Every reading starts empty.

Concepts: `step` is the page of a step, `step_view` what it shows of it and `step_fields` what it asks; `problem`
records what was found or broke; `final_check` the readings after the work; `tag` is the paper that hangs on the unit;
`frame` is around all of them, and holds the work up where it may not go on.

The data's way: `service.bench.state` → page; form → `service.bench.steps` → the next page. A form that cannot reach
the server waits in the browser and is sent again under the same id.
"""
