"""Documents on a terminal, in a pipe or in a file.

Purpose: the same words everywhere; colours where a terminal has them, plain text elsewhere, no line longer than is
easy to follow.

Concepts: `document` has the blocks; `layout` breaks and aligns them for a width; `output` writes them.

The data's way: a document → lines of spans with a tone each → colours or plain text.
"""
