"""A demo workshop: invented people and units, told through the same use cases as real ones."""
