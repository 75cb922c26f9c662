"""Photos: made small and plain before they are stored, given back in pieces; and a drawn one for the demo workshop."""

from __future__ import annotations

import hashlib
import io
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Engine, Row, insert, select

from sagwright.domain.records.entities import Photo
from sagwright.errors import Conflict, NotThere, OutOfRange
from sagwright.store.engine import Transaction, reading
from sagwright.store.tables import photo_chunks, photos

LONGEST_SIDE: Final = 2048
LARGEST_PHOTO: Final = 25_000_000
"""Of what is handed in."""
MOST_PIXELS: Final = 80_000_000
"""Of what is handed in."""
QUALITY: Final = 85
CHUNK: Final = 256 * 1024

_REMEDY: Final = "Hand in a photo as a camera makes it: JPEG, PNG or WebP."
_FORMATS: Final = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it is kept, and the digest of what it was made from."""

    content: bytes
    width: int
    height: int
    digest: str


def picture(data: bytes) -> Picture:
    """A picture as it is kept: upright, at most 2048 pixels, a JPEG without place, time or camera.

    Raises
    ------
    OutOfRange
        If it is too large, or no picture.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > LARGEST_PHOTO:
        got = f"{len(data) / 1e6:.0f} MB"
        raise OutOfRange(
            f"must not be larger than {LARGEST_PHOTO / 1e6:.0f} MB", field="photo", value=got, remedy=_REMEDY
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
                _require_few_pixels(opened.size)
                opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
                upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Warning, Image.DecompressionBombError) as error:
        raise OutOfRange("must be a picture that can be read", field="photo", remedy=_REMEDY) from error
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    kept = io.BytesIO()
    bare.save(kept, "JPEG", quality=QUALITY, optimize=True)
    return Picture(kept.getvalue(), *bare.size, hashlib.sha256(data).hexdigest())


def _require_few_pixels(size: tuple[int, int]) -> None:
    if size[0] * size[1] > MOST_PIXELS:
        rule = f"must not have more than {MOST_PIXELS / 1e6:.0f} million pixels"
        raise OutOfRange(rule, field="photo", value=f"{size[0]} × {size[1]}", remedy=_REMEDY)


def add_photo(transaction: Transaction, taken: Picture, *, id: str, at: datetime, by: str) -> Photo:  # noqa: A002
    """Keep a picture; handed in again under the same id it is kept once.

    Raises
    ------
    Conflict
        If another picture has the id.
    """
    row = transaction.execute(select(photos).where(photos.c.id == id)).first()
    if row is not None and row.digest != taken.digest:
        raise Conflict("Another picture was handed in under the same id.", remedy="Hand it in again from a new form.")
    if row is not None:
        return _photo(row)
    photo = Photo(id, taken.width, taken.height, len(taken.content), at, by)
    values = {"width": photo.width, "height": photo.height, "size": photo.size, "at": at, "by": by}
    transaction.execute(insert(photos).values(id=id, digest=taken.digest, **values))
    for ordinal, start in enumerate(range(0, photo.size, CHUNK)):
        piece = taken.content[start : start + CHUNK]
        transaction.execute(insert(photo_chunks).values(photo=id, ordinal=ordinal, content=piece))
    return photo


def photo_of(transaction: Transaction, photo: str) -> Photo:
    """What is known of one picture.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(photos).where(photos.c.id == photo)).first()
    if row is None:
        raise NotThere(f"There is no photo {photo}.", remedy="The job's entries name its photos by their ids.")
    return _photo(row)


def missing_photos(transaction: Transaction, which: tuple[str, ...]) -> tuple[str, ...]:
    """Those of some ids that no picture has."""
    if not which:
        return ()
    there = set(transaction.execute(select(photos.c.id).where(photos.c.id.in_(which))).scalars())
    return tuple(photo for photo in which if photo not in there)


def pieces_of(engine: Engine, photo: str) -> Iterator[bytes]:
    """The bytes of a picture, one piece after the other, each read when it is asked for."""
    ordinal = 0
    while piece := _piece(engine, photo, ordinal):
        yield piece
        ordinal += 1


def _piece(engine: Engine, photo: str, ordinal: int) -> bytes:
    which = (photo_chunks.c.photo == photo, photo_chunks.c.ordinal == ordinal)
    with reading(engine) as transaction:
        return transaction.execute(select(photo_chunks.c.content).where(*which)).scalar() or b""


def _photo(row: Row[Any]) -> Photo:
    return Photo(row.id, row.width, row.height, row.size, row.at, row.by)


def sketched_crack() -> bytes:
    """A stanchion under a crown with a crack through the crown, as PNG."""
    from PIL import Image, ImageDraw

    image = Image.new("RGB", (320, 240), "#d8d5cd")
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle((40, 40, 280, 100), 18, fill="#3a3f45")
    draw.rectangle((120, 100, 170, 240), fill="#7d6a48")
    draw.line((150, 42, 158, 60, 151, 74, 163, 99), fill="#f2efe8", width=3)
    draw.text((10, 220), "demo, drawn", fill="#3a3f45")
    file = io.BytesIO()
    image.save(file, "PNG")
    return file.getvalue()
