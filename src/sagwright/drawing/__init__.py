"""Values → SVG. The same values give the same bytes."""
