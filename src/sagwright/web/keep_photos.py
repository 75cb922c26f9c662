"""Photos that come with a form: kept at once, so that a form that is not right yet does not lose them."""

from __future__ import annotations

import hashlib
from dataclasses import replace

from sagwright.domain.records.entry import Submission
from sagwright.errors import OutOfRange
from sagwright.service.workshop.records import Workshop, keep_photo
from sagwright.web.asked import Asked
from sagwright.web.form import Form
from sagwright.web.taken import KEPT

MOST_BYTES = 60_000_000  # of a form with photos


def kept_photos(workshop: Workshop, form: Form, field: str, said: Submission) -> tuple[str, ...]:
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
                kept = keep_photo(workshop, upload.data, replace(said, id=f"{said.id}-{digest}"))
            except OutOfRange as fault:
                raise OutOfRange(fault.rule, field=field, value=upload.name, remedy=fault.remedy) from fault
            photos.append(kept.id)
    return tuple(dict.fromkeys(photos))


def with_photos(asked: Asked) -> Form:
    """The form with its photos kept: from then on it names them."""
    said = replace(asked.submission(), id=asked.id)
    named = []
    for field in dict.fromkeys(upload.field for upload in asked.form.uploads):
        place = field.removeprefix("photo.")
        photos = kept_photos(asked.shop.records, asked.form, field, said)
        named += [(f"{KEPT}.{place}.{photo}", "yes") for photo in photos]
    known = {name for name, _ in asked.form.pairs}
    return Form((*asked.form.pairs, *(pair for pair in named if pair[0] not in known)))
