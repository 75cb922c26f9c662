"""Photos: what is kept of them, and what is refused."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from sagwright.errors import Conflict, NotThere, OutOfRange
from sagwright.service.workshop.records import read_photo, save_photo
from sagwright.store.photos import CHUNK, LARGEST_PHOTO, LONGEST_SIDE
from sagwright.store.workshop import Store
from tests.support.workshops import Person

ORIENTATION, MAKER = 0x0112, 0x010F


def jpeg(width: int, height: int, *, orientation: int = 1, kind: str = "JPEG") -> bytes:
    """A picture with a red upper left corner, as a camera makes it."""
    image = Image.effect_noise((width, height), 60).convert("RGB")
    image.paste((255, 0, 0), (0, 0, width // 4, height // 4))
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MAKER] = "a camera"
    out = io.BytesIO()
    image.save(out, kind, exif=exif)
    return out.getvalue()


def kept(store: Store, photo: str) -> Image.Image:
    """A photo as it comes back."""
    return Image.open(io.BytesIO(b"".join(read_photo(store, photo)[1])))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_it_works(store: Store, kim: Person, kind: str) -> None:
    photo = save_photo(store, jpeg(640, 480, kind=kind), kim("p"))
    image = kept(store, "p")
    assert image.format == "JPEG"
    assert image.size == (photo.width, photo.height) == (640, 480)
    assert (photo.by, photo.size) == ("Kim", len(b"".join(read_photo(store, "p")[1])))


def test_place_time_and_camera_are_not_kept(store: Store, kim: Person) -> None:
    save_photo(store, jpeg(64, 64), kim("p"))
    assert dict(kept(store, "p").getexif()) == {}


def test_it_stands_upright(store: Store, kim: Person) -> None:
    save_photo(store, jpeg(64, 32, orientation=6), kim("p"))  # 6: turn by a quarter to the right
    image = kept(store, "p")
    assert image.size == (32, 64)
    red, green, blue = image.convert("RGB").getpixel((30, 2))  # type: ignore[misc]
    assert red > 180
    assert max(green, blue) < 90


def test_a_large_one_is_made_smaller_and_comes_in_pieces(store: Store, kim: Person) -> None:
    save_photo(store, jpeg(4000, 3000), kim("p"))
    _, pieces = read_photo(store, "p")
    sizes = [len(piece) for piece in pieces]
    assert max(kept(store, "p").size) == LONGEST_SIDE
    assert len(sizes) > 1
    assert max(sizes) == CHUNK


def test_handed_in_twice_it_is_kept_once(store: Store, kim: Person) -> None:
    data = jpeg(64, 64)
    assert save_photo(store, data, kim("p")).id == save_photo(store, data, kim("p")).id
    with pytest.raises(Conflict, match="Another picture"):
        save_photo(store, jpeg(32, 32), kim("p"))


@pytest.mark.parametrize(
    ("data", "rule"),
    [
        (b"", "must be a picture that can be read"),
        (b"<svg onload='x'/>", "must be a picture that can be read"),
        (jpeg(64, 64)[:300], "must be a picture that can be read"),
        (b"\xff\xd8" + b"\0" * LARGEST_PHOTO, "must not be larger than 25 MB"),
    ],
)
def test_what_is_refused(store: Store, kim: Person, data: bytes, rule: str) -> None:
    with pytest.raises(OutOfRange, match=rule):
        save_photo(store, data, kim("p"))
    with pytest.raises(NotThere):
        read_photo(store, "p")


def test_a_small_file_that_would_be_a_huge_picture(store: Store, kim: Person) -> None:
    out = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(out, "PNG")
    assert len(out.getvalue()) < 1_000_000
    with pytest.raises(OutOfRange, match="picture"):
        save_photo(store, out.getvalue(), kim("p"))
