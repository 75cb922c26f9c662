"""Rows ⇄ records: SQLite in one file, or PostgreSQL by its URL. What is committed is on disk."""
