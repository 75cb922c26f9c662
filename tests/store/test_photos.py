"""Pictures are made small and bare, kept once, and given back in pieces."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from sagwright.errors import Conflict, NotThere, OutOfRange
from sagwright.service.keeping import keep_photo, read_photo
from sagwright.store import photos
from sagwright.store.photos import CHUNK, LONGEST_SIDE
from sagwright.store.store import Store
from tests.workshops import Person

ORIENTATION, GPS, MAKE = 0x0112, 0x8825, 0x010F


def shot(size: tuple[int, int], kind: str = "JPEG", *, turned: int = 1, noise: bool = False) -> bytes:
    """A picture whose left half is red, as a camera hands it over."""
    image = Image.effect_noise(size, 120).convert("RGB") if noise else Image.new("RGB", size, "blue")
    image.paste((255, 0, 0), (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKE] = turned, "Specimen camera"
    exif.get_ifd(GPS)[1] = "N"
    out = io.BytesIO()
    image.save(out, kind, exif=exif, quality=95)
    return out.getvalue()


def test_a_photo_is_small_upright_and_bare(store: Store, kim: Person) -> None:
    photo = keep_photo(store, shot((3000, 1500), turned=6, noise=True), kim())
    found, pieces = read_photo(store, photo.id)
    content = list(pieces)
    assert found == photo
    assert len(content) > 1
    assert all(len(piece) <= CHUNK for piece in content)
    data = b"".join(content)
    assert len(data) == photo.size
    with Image.open(io.BytesIO(data)) as image:
        assert (image.format, image.size) == ("JPEG", (LONGEST_SIDE // 2, LONGEST_SIDE))
        assert (photo.width, photo.height) == image.size
        assert not image.getexif()
        assert "exif" not in image.info
        red, green, blue = image.convert("RGB").getpixel((500, 100))  # type: ignore[misc]
    assert red > 150 > max(green, blue)  # turned a quarter: what was left is on top
    assert b"Specimen" not in data


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "JPEG"])
def test_pictures_of_other_kinds(store: Store, kim: Person, kind: str) -> None:
    assert keep_photo(store, shot((60, 40), kind), kim()).width == 60


def test_a_photo_handed_in_twice_is_kept_once(store: Store, kim: Person) -> None:
    said = kim("photo")
    assert keep_photo(store, shot((40, 30)), said) == keep_photo(store, shot((40, 30)), said)
    with pytest.raises(Conflict, match="same id"):
        keep_photo(store, shot((30, 40)), said)


@pytest.mark.parametrize("data", [b"", b"hello", b"<svg/>", shot((400, 300))[:500], b"GIF89a" + bytes(50)])
def test_what_is_no_picture_is_refused(store: Store, kim: Person, data: bytes) -> None:
    with pytest.raises(OutOfRange, match="photo must be a picture that can be read"):
        keep_photo(store, data, kim("photo"))
    with pytest.raises(NotThere):
        read_photo(store, "photo")


def test_what_is_too_large_is_refused(store: Store, kim: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = io.BytesIO()
    Image.new("1", (12_000, 12_000)).save(bomb, "PNG")
    assert len(bomb.getvalue()) < 100_000
    with pytest.raises(OutOfRange, match="photo must"):
        keep_photo(store, bomb.getvalue(), kim())
    wide = io.BytesIO()
    Image.new("1", (9_000, 9_000)).save(wide, "PNG")
    with pytest.raises(OutOfRange, match="more than 80 million pixels, got '9000 × 9000'"):
        keep_photo(store, wide.getvalue(), kim())
    monkeypatch.setattr(photos, "MOST_BYTES", 1000)
    with pytest.raises(OutOfRange, match="larger than 0 MB"):
        keep_photo(store, bytes(1001), kim())
