"""Photos: checked in with a form, and served; and the script that makes the last view of a bench readable offline.

Photos of a form are stored at once, so that a form that is not right yet does not lose them. A browser lets a worker
script serve only what lies below its own address, and asks for it anew at every visit: so the script lies at the top,
and under no digest.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace

from starlette.responses import FileResponse, Response, StreamingResponse

from sagwright.domain.records.entry import Submission
from sagwright.errors import OutOfRange
from sagwright.service.workshop.records import Workshop, read_photo, save_photo
from sagwright.web.http.form import Form
from sagwright.web.http.page import ASSETS
from sagwright.web.http.request import PageRequest, get

SAVED_PHOTOS = "kept"
"""Fields that say which photos stay: kept.general.ID."""

LARGEST_UPLOAD = 60_000_000  # of a form with photos


def saved_photos_of(form: Form, place: str) -> tuple[str, ...]:
    """Ids of the photos that stay in one place."""
    start = f"{SAVED_PHOTOS}.{place}."
    return tuple(name.removeprefix(start) for name, said in form.pairs if name.startswith(start) and said == "yes")


def save_photos(workshop: Workshop, form: Form, field: str, said: Submission) -> tuple[str, ...]:
    """Ids of the photos that came in one field. The same photo in the same form is kept once.

    Raises
    ------
    OutOfRange
        If one is too large or no picture; `field` is the field's name.
    """
    photos = []
    for upload in form.uploads:
        if upload.field == field and upload.data:
            digest = hashlib.sha256(upload.data).hexdigest()[:12]
            try:
                kept = save_photo(workshop, upload.data, replace(said, id=f"{said.id}-{digest}"))
            except OutOfRange as fault:
                raise OutOfRange(fault.rule, field=field, value=upload.name, remedy=fault.remedy) from fault
            photos.append(kept.id)
    return tuple(dict.fromkeys(photos))


def with_photos(asked: PageRequest) -> Form:
    """The form with its photos kept: from then on it names them."""
    said = replace(asked.submission(), id=asked.id)
    named = []
    for field in dict.fromkeys(upload.field for upload in asked.form.uploads):
        place = field.removeprefix("photo.")
        photos = save_photos(asked.shop.records, asked.form, field, said)
        named += [(f"{SAVED_PHOTOS}.{place}.{photo}", "yes") for photo in photos]
    known = {name for name, _ in asked.form.pairs}
    return Form((*asked.form.pairs, *(pair for pair in named if pair[0] not in known)))


def _photo(asked: PageRequest) -> Response:
    """One photo, piece by piece; what an id names never changes."""
    known, pieces = read_photo(asked.shop.records, asked.path["photo"])
    headers = {
        "Content-Length": str(known.size),
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return StreamingResponse(pieces, media_type="image/jpeg", headers=headers)


def worker(_asked: PageRequest) -> Response:
    """The script."""
    return FileResponse(ASSETS / "worker.js", media_type="text/javascript", headers={"Cache-Control": "no-cache"})


ROUTES = (get("/photos/{photo}", _photo), get("/worker.js", worker))
