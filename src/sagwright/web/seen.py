"""What was seen of a unit, as fields of the form that corrects an entry: each look with its limit, and each photo."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

from sagwright.domain.records.entry import photos_in
from sagwright.domain.records.payloads import Condition, Payload, Reading
from sagwright.web.boxes import Box, picks
from sagwright.web.form import Form

WITHIN: Final = {"yes": "within its limit", "no": "outside it", "": "not judged"}
JUDGED: Final = {"yes": True, "no": False, "": None}
PHOTO: Final = "photo"
"""What a reading says that is nothing but a photo."""
STAYS: Final = {"yes": "stays", "no": "does not belong here"}


def seen_boxes(payload: Payload) -> Iterator[Box]:
    """The fields, filled with what the entry says."""
    for number, one in enumerate(_conditions(payload)):
        if one.limit:
            judged = next(word for word, within in JUDGED.items() if within is one.within)
            label = f"{one.what.removesuffix('.')}: {one.limit}"
            yield Box(f"c{number}", label, "picks", judged, picks=picks(WITHIN, judged))
        else:
            yield Box(f"c{number}", "what else was seen", "lines", one.what, hint="Left empty it is taken back.")
    for number, photo in enumerate(photos_in(payload), 1):  # as the entry shows them
        yield Box(f"photo.{photo}", f"photo {number}", "picks", "yes", picks=picks(STAYS, "yes"))


def seen_in(payload: Payload, form: Form) -> dict[str, Any]:
    """What the form says was seen, by the entry's own names; what it does not have stays."""
    said: dict[str, Any] = {}
    if _conditions(payload):
        said["condition"] = tuple(_said(payload, form))
    if photos := getattr(payload, "photos", ()):
        said["photos"] = _staying(photos, form)
    return said


def photographed(readings: tuple[Reading, ...], form: Form) -> tuple[Reading, ...]:
    """Readings without the photos that do not belong to them; one that was nothing but its photo goes with it."""
    staying = ((one, one.photo is None or _staying((one.photo,), form)) for one in readings)
    return tuple(one if stays else replace(one, photo=None) for one, stays in staying if stays or one.said != PHOTO)


def _conditions(payload: Payload) -> tuple[Condition, ...]:
    found: tuple[Condition, ...] = getattr(payload, "condition", ())
    return found


def _said(payload: Payload, form: Form) -> Iterator[Condition]:
    for number, one in enumerate(_conditions(payload)):
        again, name = replace(one, photos=_staying(one.photos, form)), f"c{number}"
        if form.has(name) and one.limit:
            again = replace(again, within=JUDGED.get(form.text(name), one.within))
        elif form.has(name):
            again = replace(again, what=form.raw(name).strip())
        if again.what:
            yield again


def _staying(photos: tuple[str, ...], form: Form) -> tuple[str, ...]:
    return tuple(photo for photo in photos if form.text(f"photo.{photo}") != "no")
