"""The workshop as a whole: its records opened, its customers, its instruments, and keeping all of it safe.

Purpose: what is not about one job.

Concepts: `records` opens a store, and holds photos, instruments and half-filled forms; `customers` finds, exports and
erases what is stored of a customer; `maintenance` backs up and restores, exports and imports, and examines the
records.

The data's way: a place → an open workshop → the other use cases.
"""
