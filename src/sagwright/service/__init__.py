"""What a caller can ask for: one function per use case, each a pure function of what it is given."""
