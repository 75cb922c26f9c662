"""One module per revision of the schema, oldest first by number.

A revision says which one it follows and how tables and rows get from there to its own form. It is complete in itself:
it repeats what it needs of the tables of its day, because the tables of today will have moved on.
"""
