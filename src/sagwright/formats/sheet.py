"""Loads sheets."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping

from sagwright.domain.sheet import Sheet
from sagwright.formats.faults import Faults, expect_shape, shaped
from sagwright.formats.item_checks import check_items
from sagwright.formats.lookup import find_sheet
from sagwright.formats.sheet_build import built
from sagwright.formats.sheet_checks import check_sheet
from sagwright.formats.sheet_shape import SHEET, SheetShape


def load_sheet(
    name: str | pathlib.Path,
    *,
    beside: pathlib.Path | None = None,
    files: bool = True,
    texts: Mapping[str, str] | None = None,
) -> Sheet:
    """A sheet with everything it extends merged in.

    Parameters
    ----------
    name : str or Path
        A shipped name, "specimen/t35", or a path.
    beside : Path, optional
        The folder a relative path starts from; left out, the current one.
    files : bool
        False for names from strangers: then only shipped sheets are found.
    texts : mapping of str to str, optional
        Sheets by name that come before the shipped ones.

    Raises
    ------
    UnreadableFile
        If it is not there or cannot be read.
    InputError, InputErrors
        Everything that is wrong with what it says, with file and line.
    """
    found = find_sheet(str(name), beside=beside, files=files, texts=texts)
    expect_shape(found.root, SHEET, what="a sheet")
    faults = Faults(found.root, found.faults)
    shape = shaped(found.root, SheetShape, faults)
    sheet = built(shape, found.name, found.architecture, faults)
    check_sheet(sheet, faults)
    check_items(sheet, faults)
    faults.raise_any()
    return sheet
