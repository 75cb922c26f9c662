"""Files that are there whole or not at all."""

from __future__ import annotations

import contextlib
import os
import pathlib
import shutil
import tempfile
from collections.abc import Iterator

from sagwright.errors import OutOfRange, UnreadableFile


@contextlib.contextmanager
def appearing(path: pathlib.Path, *, over: bool = False) -> Iterator[pathlib.Path]:
    """A path beside the given one to write a file or a folder at; at the end, and only then, it is the given one.

    Parameters
    ----------
    path : Path
    over : bool
        Whether it may stand in for a file that is there.

    Raises
    ------
    OutOfRange
        If something is there that must not be replaced.
    UnreadableFile
        If it cannot be written; then nothing is.
    """
    if not over and (path.is_symlink() or path.exists()):
        raise OutOfRange("must not be there yet", value=str(path), remedy="Give another name, or move it away.")
    with report_progress(path):
        folder = pathlib.Path(tempfile.mkdtemp(prefix=f".{path.name[:40]}.", dir=path.parent))
        try:
            yield folder / "new"
            synced(folder / "new")
            (folder / "new").replace(path)
            synced(path.parent)
        finally:
            shutil.rmtree(folder, ignore_errors=True)


@contextlib.contextmanager
def report_progress(path: pathlib.Path) -> Iterator[None]:
    """What the system says about a file, as a fault of the file."""
    try:
        yield
    except OSError as error:
        remedy = f"The system says: {error.strerror or error}."
        raise UnreadableFile("must be readable or writable", remedy=remedy, file=str(path)) from error


def synced(path: pathlib.Path) -> None:
    """A file, or a folder and all in it, is on disk."""
    for one in (path, *(path.iterdir() if path.name == "new" and path.is_dir() else ())):
        with contextlib.suppress(PermissionError):  # some systems do not open folders
            handle = os.open(one, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
