"""A picture for the demo workshop, drawn and of nothing real."""

from __future__ import annotations

import io


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
