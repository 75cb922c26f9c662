"""Values → SVG text. Pure: the same values give the same bytes; nothing is read, nothing is written."""
