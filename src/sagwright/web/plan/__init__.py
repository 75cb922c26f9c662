"""Planning on a page: controls for the wish, options, the outcome of what is tried, and the decision.

Purpose: to turn a control and see at once what it does to the ride, the bike and the work.

Concepts: `page` is the page and `controls` its controls, each of which sets a fact of the wish; `outcome` is what the
proposal comes to; `options` the table of setups; `tasks` other work in the same opening; `decide` records.

The data's way: address with facts → a proposal of `service.jobs.decision` → page; the form of `decide` sends the same
facts back, so that what is decided is what was seen.
"""
