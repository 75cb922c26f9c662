"""Records what the program answers, so that a change of its inside can be seen to change nothing outside.

    python -m tests.goldens.record            writes the golden files anew
    python -m tests.goldens.record --check    says whether they still hold
    python -m tests.goldens.record --diff     shows every difference

Names of groups after the option limit it to those.
"""

from __future__ import annotations

import argparse
import difflib
import json
import lzma
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from tests.goldens import commands, documents, pages

FOLDER: Final = Path(__file__).parent / "recorded"
SHOWN_KEYS, SHOWN_LINES = 5, 12
Group = dict[str, Any]


@dataclass(frozen=True)
class Workshops:
    """The two workshops that are looked at, as files that nothing writes to."""

    demo: Path
    shop: Path


GROUPS: Final[dict[str, Callable[[Workshops], Iterator[tuple[str, Any]]]]] = {
    "help": lambda _: commands.helps(),
    "calculated": lambda _: commands.calculated(),
    "bad-input": lambda _: commands.bad_input(),
    "looked-up": lambda made: commands.looked_up(made.demo),
    "handed-in": lambda made: commands.handed_in(made.demo),
    "stored": lambda made: documents.stored(made.demo),
    "shipped": lambda _: documents.shipped(),
    "pages": lambda made: pages.looked_at(made.demo),
    "html": lambda made: pages.in_html(made.shop),
    "forms": lambda made: pages.sent(made.shop),
}


@contextmanager
def workshops() -> Iterator[Workshops]:
    """Both, filled."""
    with tempfile.TemporaryDirectory() as folder:
        made = Workshops(Path(folder) / "demo.sqlite", Path(folder) / "shop.sqlite")
        documents.fill_demo(made.demo)
        pages.fill_shop(made.shop)
        yield made


def collected(name: str, made: Workshops) -> Group:
    """A group as the program answers now.

    Raises
    ------
    ValueError
        If two of its answers have one key.
    """
    found: Group = {}
    for key, value in GROUPS[name](made):
        if key in found and found[key] != value:
            raise ValueError(f"two answers are called {key}")
        found[key] = value
    return found


def path_of(name: str) -> Path:
    """Where a group is kept."""
    return FOLDER / f"{name}.json.xz"


def recorded(name: str) -> Group:
    """A group as it was recorded; empty where it never was."""
    path = path_of(name)
    found: Group = json.loads(lzma.decompress(path.read_bytes())) if path.exists() else {}
    return found


def write(name: str, group: Group) -> None:
    """Keep a group: the same answers give the same bytes."""
    FOLDER.mkdir(exist_ok=True)
    path_of(name).write_bytes(lzma.compress(_text(group).encode()))


def _text(value: Any) -> str:  # noqa: ANN401  # whatever JSON has
    return json.dumps(value, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def differences(before: Group, after: Group, *, keys: int = SHOWN_KEYS, lines: int = SHOWN_LINES) -> Iterator[str]:
    """What differs, in lines: each key that does, and the first lines of it that do."""
    differing = [key for key in sorted(before | after) if before.get(key) != after.get(key)]
    for key in differing[:keys]:
        yield f"{key}: {'is new' if key not in before else 'is no more' if key not in after else 'differs'}"
        if key in before and key in after:
            old, new = (_text(group[key]).splitlines() for group in (before, after))
            found = [one for one in difflib.unified_diff(old, new, n=0, lineterm="") if one[:3] not in {"---", "+++"}]
            yield from (f"    {one[:160]}" for one in found[:lines])
            if len(found) > lines:
                yield f"    and {len(found) - lines} more lines"
    if len(differing) > keys:
        yield f"and {len(differing) - keys} more keys"


def main() -> int:
    """Record, or compare."""
    parser = argparse.ArgumentParser(prog="python -m tests.goldens.record", description=__doc__)
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--diff", action="store_true")
    parser.add_argument("groups", nargs="*", metavar="GROUP", default=[])
    asked = parser.parse_args()
    failed = False
    with workshops() as made:
        for name in asked.groups or GROUPS:
            failed |= _one(name, collected(name, made), asked)
    return int(failed)


def _one(name: str, found: Group, asked: argparse.Namespace) -> bool:
    """Write or compare one group; whether it differs."""
    if not (asked.check or asked.diff):
        write(name, found)
        sys.stdout.write(f"{name}: {len(found)} answers, {path_of(name).stat().st_size:,} bytes\n")
        return False
    most = {"keys": sys.maxsize, "lines": sys.maxsize} if asked.diff else {}
    told = list(differences(recorded(name), found, **most))
    sys.stdout.write("".join(f"{line}\n" for line in (f"{name}: {'DIFFERS' if told else 'holds'}", *told)))
    return bool(told)


if __name__ == "__main__":
    sys.exit(main())
