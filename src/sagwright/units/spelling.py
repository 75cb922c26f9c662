"""Near misses: "did you mean"."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(word: str, words: Iterable[str]) -> str:
    """The word most like the one written, whatever their case, empty if none is.

    Of words equally like it, the one with the same beginning.
    """
    folded = word.casefold()
    known = {each.casefold(): each for each in words}
    near = difflib.get_close_matches(folded, known, n=3, cutoff=0.6)
    near.sort(key=lambda each: (-difflib.SequenceMatcher(None, folded, each).ratio(), each[:1] != folded[:1]))
    return known[near[0]] if near else ""
