"""Photos, as they are kept. They are no pages: nothing stands around them."""

from __future__ import annotations

from starlette.responses import Response, StreamingResponse

from sagwright.service.workshop.records import read_photo
from sagwright.web.asked import Asked, get


def photo(asked: Asked) -> Response:
    """One photo, piece by piece; what an id names never changes."""
    known, pieces = read_photo(asked.shop.records, asked.path["photo"])
    headers = {
        "Content-Length": str(known.size),
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return StreamingResponse(pieces, media_type="image/jpeg", headers=headers)


ROUTES = (get("/photos/{photo}", photo),)
