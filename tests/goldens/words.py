"""What the change of words did to the recorded answers: one table, old → new, in `words.toml`.

`before_words/` has the answers as they were before the change. A key of JSON may be another one, and a run of words
may be another run, only where the table has both. Numbers stand in the table as `#`; white space, and lines that only
underline, count for nothing, since a table that is wider or a line that breaks elsewhere says the same.

    python -m tests.goldens.words            shows what the table lacks, and what it has and does not need
    python -m tests.goldens.words --write    writes the table anew, to be read before it is committed
"""

from __future__ import annotations

import argparse
import difflib
import json
import lzma
import re
import sys
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from tests.goldens.fixed import shortened
from tests.goldens.record import GROUPS, Group, path_of

BEFORE: Final = Path(__file__).parent / "before_words"
TABLE: Final = Path(__file__).parent / "words.toml"
_WORD: Final = re.compile(r"[A-Za-z_À-ÿ][\w.:=\-]*|\d[\d.,:]*|[^\s\w]")
_NUMBER: Final = re.compile(r"\d[\d.,:]*")
_RULE: Final = re.compile(r"[-─=_]{3,}")
Change = tuple[str, str]


def group_in(path: Path) -> Group:
    """A file of recorded answers."""
    found: Group = json.loads(shortened(lzma.decompress(path.read_bytes()).decode()))
    return found


def words_of(text: str) -> list[str]:
    """A text without its white space; every number is `#`."""
    return [_NUMBER.sub("#", word) for word in _WORD.findall(_RULE.sub(" ", text))]


def runs(before: Sequence[str], after: Sequence[str]) -> Iterator[Change]:
    """What differs between two rows of words: a run of the one and the run that took its place."""
    for what, a, b, c, d in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if what != "equal":
            yield " ".join(before[a:b]), " ".join(after[c:d])


def changes(before: Any, after: Any, keys: dict[str, str], seen: set[Change]) -> Iterator[Change]:  # noqa: ANN401
    """Every difference between two answers, keys of JSON first."""
    if isinstance(before, dict) and isinstance(after, dict):
        yield from _of_objects(before, after, keys, seen)
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for one, other in zip(before, after, strict=True):
            yield from changes(one, other, keys, seen)
    elif isinstance(before, str) and isinstance(after, str):
        if before != after and (before, after) not in seen:
            seen.add((before, after))
            yield from (run for pair in _blocks(before, after) for run in runs(*map(words_of, pair)))
    elif before != after:
        yield json.dumps(before)[:80], json.dumps(after)[:80]


def _of_objects(before: Group, after: Group, keys: dict[str, str], seen: set[Change]) -> Iterator[Change]:
    renamed = {key: key if key in after else keys.get(key, _piecewise(key, keys)) for key in before}
    yield from (("key " + key, "") for key, new in renamed.items() if new not in after)
    yield from (("", "key " + key) for key in after if key not in renamed.values())
    for key, new in renamed.items():
        if new in after:
            yield from ([("key " + key, "key " + new)] if key != new else [])
            yield from changes(before[key], after[new], keys, seen)


def _piecewise(key: str, keys: dict[str, str]) -> str:
    """A key of several words, like a command line, with each word as it is called now."""
    return " ".join(keys.get(word, word) for word in key.split(" "))


def _blocks(before: str, after: str) -> Iterator[Change]:
    """Two texts block by block where they have as many."""
    one, other = (re.split(r"\n\s*\n", text) for text in (before, after))
    yield from zip(one, other, strict=True) if len(one) == len(other) else [(before, after)]


def differences(name: str, keys: dict[str, str]) -> set[Change]:
    """Every difference of a group."""
    before, after = group_in(BEFORE / f"{name}.json.xz"), group_in(path_of(name))
    return set(changes(before, after, keys, set())) - {("", "")}


def table() -> tuple[dict[str, str], set[Change]]:
    """The table: keys of JSON, and runs of words."""
    read = tomllib.loads(TABLE.read_text("utf-8"))
    return dict(read["keys"]), {(one[0], one[1]) for one in read["words"]}


def main() -> int:
    """Compare, or write."""
    parser = argparse.ArgumentParser(prog="python -m tests.goldens.words", description=__doc__)
    parser.add_argument("--write", action="store_true")
    parser.add_argument("groups", nargs="*", metavar="GROUP", default=[])
    asked = parser.parse_args()
    keys, known = table()
    found = {one for name in asked.groups or GROUPS for one in differences(name, keys)}
    found = {one for one in found if not (one[0].startswith("key ") and keys.get(one[0][4:]) == one[1][4:])}
    if asked.write:
        rows = "".join(f"  {json.dumps(pair, ensure_ascii=False)},\n" for pair in sorted(found))
        named = "".join(f"{json.dumps(a)} = {json.dumps(b)}\n" for a, b in keys.items())
        TABLE.write_text(f"words = [\n{rows}]\n\n[keys]\n{named}", "utf-8")
        return 0
    sys.stdout.write("".join(f"not in the table: {a!r} -> {b!r}\n" for a, b in sorted(found - known)))
    sys.stdout.write(
        "".join(f"not needed: {a!r} -> {b!r}\n" for a, b in sorted(known - found)) if not asked.groups else ""
    )
    return int(bool(found - known))


if __name__ == "__main__":
    sys.exit(main())
