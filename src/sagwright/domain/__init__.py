"""What the trade talks about, as frozen values: tuples, never arrays; SI; no behaviour that reaches outward."""
