"""Near misses: "did you mean"."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(word: str, words: Iterable[str]) -> str:
    """The word most like the one written, empty if none is; of equals the one with the same beginning."""
    known = list(words)
    near = difflib.get_close_matches(word, known, n=3, cutoff=0.6)
    near.sort(key=lambda each: (-difflib.SequenceMatcher(None, word, each).ratio(), each[:1] != word[:1]))
    return near[0] if near else ""
