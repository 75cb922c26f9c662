"""What the change of words did to the recorded answers: keys and names by one table, `words.toml`, and no number.

`before_words/` has the answers as they were before the change. An answer holds when

- every key of JSON is the old one, or what the table says it became;
- every name (a text without spaces) is the old one, or what the table says;
- every sentence has the numbers that it had, in any order; its words are free, and stand in the difference;
- every number, truth and null is equal.

    python -m tests.goldens.words            shows what does not hold
"""

from __future__ import annotations

import json
import lzma
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any, Final

from tests.goldens.fixed import shortened
from tests.goldens.record import GROUPS, Group, path_of

BEFORE: Final = Path(__file__).parent / "before_words"
TABLE: Final = Path(__file__).parent / "words.toml"
_NUMBER: Final = re.compile(r"(?<![0-9a-f])\d+(?:[.,]\d+)*(?![0-9a-f])")
_DIGEST: Final = re.compile(r"\b[0-9a-f]{32,64}\b")
_PIECE: Final = re.compile(r"[a-z_]+(?:-[a-z_]+)*|[^a-z_]+")


@dataclass(frozen=True)
class Table:
    """Old → new, as `words.toml` has it; a word that was used for two things became two.

    Attributes
    ----------
    keys : dict
        Keys of JSON, and words of commands and addresses.
    names : dict
        Names as they stand, whole.
    free : dict
        Places that may differ in more than words, each with the reason.
    """

    keys: dict[str, list[str]]
    names: dict[str, list[str]]
    free: dict[str, str]

    def key(self, old: str, among: dict[str, Any]) -> str | None:
        """What a key is called in an object now, whole or piece by piece; None if it is not there."""
        whole = (old, *self.keys.get(old, ()))
        pieces = product(*((one, *self.keys.get(one, ())) for one in _PIECE.findall(old)))
        return next((one for one in (*whole, *map("".join, pieces)) if one in among), None)


def table() -> Table:
    """The table, read."""
    return Table(**tomllib.loads(TABLE.read_text("utf-8")))


def group_in(path: Path) -> Group:
    """A file of recorded answers."""
    found: Group = json.loads(shortened(lzma.decompress(path.read_bytes()).decode()))
    return found


def numbers(text: str) -> Counter[str]:
    """The numbers in a sentence."""
    return Counter(_NUMBER.findall(_DIGEST.sub("", text)))


def faults(before: Any, after: Any, words: Table, where: str = "") -> Iterator[str]:  # noqa: ANN401  # JSON
    """Each place where an answer differs by more than its words."""
    if isinstance(before, dict) and isinstance(after, dict):
        yield from _of_objects(before, after, words, where)
    elif isinstance(before, list) and isinstance(after, list):
        yield from _of_lists(before, after, words, where)
    elif isinstance(before, str) and isinstance(after, str):
        yield from _of_texts(before, after, words, where)
    elif before != after:
        yield f"{where}: {json.dumps(before)[:60]}, now {json.dumps(after)[:60]}"


def _of_objects(before: Group, after: Group, words: Table, where: str) -> Iterator[str]:
    renamed = {key: words.key(key, after) for key in before}
    yield from (f"{where}: key {key} is gone" for key, new in renamed.items() if new is None)
    yield from (f"{where}: key {key} is new" for key in sorted(after.keys() - set(renamed.values())))
    for key, new in renamed.items():
        if new is not None:
            yield from faults(before[key], after[new], words, f"{where}/{new}")


def _of_lists(before: list[Any], after: list[Any], words: Table, where: str) -> Iterator[str]:
    """Lists one by one; lines of a text as the text."""
    if all(isinstance(one, str) for one in before + after):
        yield from _of_texts("\n".join([*before, ""]), "\n".join([*after, ""]), words, where)
        return
    if len(before) != len(after):
        yield f"{where}: {len(before)} entries, now {len(after)}"
    for at, (one, other) in enumerate(zip(before, after, strict=False)):
        yield from faults(one, other, words, f"{where}/{at}")


def _of_texts(before: str, after: str, words: Table, where: str) -> Iterator[str]:
    if before == after:
        return
    if any(one.isspace() for one in before):
        if numbers(before) != numbers(after):
            gone, new = numbers(before) - numbers(after), numbers(after) - numbers(before)
            yield f"{where}: numbers gone {list(gone.elements())[:6]}, new {list(new.elements())[:6]}"
    elif after not in words.names.get(before, ()):
        yield f"{where}: name {before[:60]!r}, now {after[:60]!r}"


def faults_of(group: str, words: Table) -> list[str]:
    """Each place of a group where more than words changed."""
    before, after = group_in(BEFORE / f"{group}.json.xz"), group_in(path_of(group))
    found = faults(before, after, words, group)
    return [one for one in found if not any(one.startswith(f"{group}/{free}") for free in words.free)]


def main() -> int:
    """Show what does not hold."""
    words = table()
    found = [one for name in sys.argv[1:] or GROUPS for one in faults_of(name, words)]
    sys.stdout.write("".join(f"{one}\n" for one in found))
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(main())
