"""One module a schema."""
