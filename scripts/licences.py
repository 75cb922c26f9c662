"""Print every installed dependency with its licence; exit 1 if one is unknown or not accepted.

Accepted are permissive licences, and weak copyleft: using the library unchanged asks nothing of its user.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from importlib.metadata import Distribution, distributions
from pathlib import Path

LOCKS = Path(__file__).parent.parent / "requirements"
ACCEPTED = frozenset(
    {
        *("0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "BSL-1.0", "CC0-1.0", "HPND", "ISC", "MIT"),
        "MIT-CMU",
        *("MIT-0", "OFL-1.1", "PSF-2.0", "Python-2.0", "Unlicense", "Zlib"),
        *("LGPL-2.1-only", "LGPL-2.1-or-later", "LGPL-3.0-only", "LGPL-3.0-or-later", "MPL-2.0"),
    }
)

# What a package without an SPDX expression writes, in its classifiers or else as free text.
IN_WORDS = {
    "3-Clause BSD License": "BSD-3-Clause",
    "Apache 2.0": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "SIL Open Font License 1.1 (OFL-1.1)": "OFL-1.1",
}

# What a package says nowhere but in the files that come with it, read by hand.
READ = {
    "axe-playwright-python": "MIT AND MPL-2.0",  # its licence file; axe-core inside says MPL-2.0 in its first lines
    "docutils": "BSD-2-Clause AND BSD-3-Clause",  # the rest is public domain; its one GPL file is not installed
    "resvg-py": "MIT",  # its licence file; what it is built from is in its bill of materials, all of it permissive
}


@dataclass(frozen=True, order=True)
class Dependency:
    """One installed distribution, what it is here for, and its licence, as an SPDX expression where known."""

    use: str
    name: str
    version: str
    licence: str

    @property
    def accepted(self) -> bool:
        """Whether at least one offered choice is accepted in every part; brackets are not understood."""
        return any(ACCEPTED.issuperset(choice.split(" AND ")) for choice in self.licence.split(" OR "))


def installed() -> list[Dependency]:
    """Every distribution of this environment but our own, sorted by use and name."""
    running, testing = locked("run.lock"), locked("dev.lock")
    found = []
    for each in distributions():
        name = plain(each.name)
        use = "run" if name in running else "test" if name in testing else "install"
        found.append(Dependency(use, name, each.version, licence_of(each)))
    return sorted(each for each in found if each.name != "sagwright")


def locked(lock: str) -> set[str]:
    """The names pinned in one lock file."""
    text = (LOCKS / lock).read_text("utf-8")
    return {plain(name) for name in re.findall(r"^([\w.-]+)==", text, re.MULTILINE)}


def plain(name: str) -> str:
    """A distribution's name in the one spelling that all tools agree on (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def licence_of(distribution: Distribution) -> str:
    """Its SPDX expression, or what its classifiers or its free text mean as one, or what they say."""
    if read := READ.get(plain(distribution.name)):
        return read
    about = distribution.metadata.json
    if expression := about.get("license_expression"):
        return str(expression)
    texts = [line.rpartition(" :: ")[2] for line in about.get("classifier", []) if line.startswith("License")]
    texts = texts or [str(about.get("license", "unknown")).partition("\n")[0]]
    return " AND ".join(IN_WORDS.get(text, text) for text in texts)


def main() -> int:
    """Print the list, and on standard error what in it is not accepted."""
    dependencies = installed()
    for each in dependencies:
        print(f"{each.use:<8}{each.name:<28}{each.version:<20}{each.licence}")
    refused = [each for each in dependencies if not each.accepted]
    for each in refused:
        print(
            f"licences: {each.name}: {each.licence}: look at it, and say in {__file__} what it is",
            file=sys.stderr,
        )
    return int(bool(refused))


if __name__ == "__main__":
    sys.exit(main())
