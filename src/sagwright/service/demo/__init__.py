"""A demo workshop: invented people and units, told through the same use cases as real ones.

Purpose: something to look at in the first minute, and a test that the use cases can carry a whole job.

Concepts: `fill` makes the workshop, `stories` are the jobs, `narrator` calls the use cases with ids and times that
follow from a start, so that the same start gives the same workshop.

The data's way: a start → stories → submissions like any other → records.
"""
