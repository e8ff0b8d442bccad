"""A picture from a maker's file, made fit for print: upright, on white, no larger than a page needs."""

from __future__ import annotations

import warnings
from io import BytesIO

from PIL import Image, ImageOps

LARGEST_PX = 1400


def printable(data: bytes) -> bytes | None:
    """The picture as JPEG or PNG of its own, without what a camera adds; None where it is none."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(BytesIO(data), formats=("JPEG", "PNG")) as opened:
                photograph = opened.format == "JPEG"
                image = ImageOps.exif_transpose(opened).convert("RGBA")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError, Image.DecompressionBombWarning):
        return None
    image.thumbnail((LARGEST_PX, LARGEST_PX))
    paper = Image.new("RGB", image.size, "white")
    paper.paste(image, mask=image.getchannel("A"))
    out = BytesIO()
    if photograph:
        paper.save(out, "JPEG", quality=88)
    else:
        paper.save(out, "PNG")
    return out.getvalue()
