"""Formulas: floats or arrays in, the same out; one implementation of each; no files, no clock, no domain types."""
