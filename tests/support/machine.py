"""What the tests need of the machine that they run on: programs of the system, set up by one process at a time."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

SYSTEM: Final = ("/usr/local/sbin", "/usr/sbin", "/sbin")
"""Where programs stand that change a system: adding a user, registering a library. Not on everybody's PATH."""


def system_path() -> str:
    """PATH, and after it the folders of the system's own programs that it lacks."""
    there = os.environ.get("PATH", os.defpath).split(os.pathsep)
    return os.pathsep.join([*there, *(folder for folder in SYSTEM if folder not in there)])


@contextmanager
def one_at_a_time(what: str) -> Iterator[None]:
    """Waits until no other process of the tests does the same: both would change this machine at once."""
    import fcntl

    with Path(tempfile.gettempdir(), f"sagwright-tests-{os.getuid()}-{what}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
