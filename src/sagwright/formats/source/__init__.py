"""Files as plain trees of text that know where each part was written.

Purpose: an error can name the line, and nothing is guessed by YAML: `no` is a word and `1:30` is no number of
minutes.

Concepts: `tree` has the nodes (text, list, map, each with file and line) and writes texts by path back as YAML;
`reader` reads a YAML file into them and refuses aliases, tags, duplicate keys, depth over 20 and files over 1 MB.

The data's way: bytes → `reader` → nodes → the shapes of the other packages, which ask a node for its text and its
place.
"""
