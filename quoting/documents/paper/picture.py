"""A picture from a maker's file, made fit for print: upright, on white, no larger than a page needs."""

from io import BytesIO

from PIL import Image, ImageOps
from PIL.ImageFile import ImageFile
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile

from quoting.errors import Reading

LARGEST_PX = 1400
LARGEST_MEGAPIXELS = 50
STARTS = {b"\x89PNG\r\n\x1a\n": PngImageFile, b"\xff\xd8\xff": JpegImageFile}
SAVE_ANEW = "write the name of a picture that a picture program has saved anew as PNG or JPEG"


def printable(data: bytes) -> bytes:
    """The picture as a JPEG or PNG of our own, without what a camera adds.

    Reading where it is no picture, is damaged, or has more pixels than a page can use. The pixels are
    counted in its head, before any is decoded: a file of a few kilobytes can hold billions.
    """
    kind = next((kind for start, kind in STARTS.items() if data.startswith(start)), None)
    if kind is None:
        found = "an empty file" if not data else "a file that is neither a PNG nor a JPEG inside"
        raise Reading(f"found {found}", SAVE_ANEW, "file_kind")
    try:
        with kind(BytesIO(data)) as opened:
            wide_px, high_px = opened.size
            megapixels = wide_px * high_px / 1e6
            if megapixels > LARGEST_MEGAPIXELS:  # it would fill the memory
                found = f"found a picture of {wide_px} x {high_px} pixels, {megapixels:.1f} megapixels"
                raise Reading(
                    found,
                    f"write the name of one of at most {LARGEST_MEGAPIXELS} megapixels",
                    "file_too_large",
                    wide_px=wide_px,
                    high_px=high_px,
                    megapixels=megapixels,
                    most=LARGEST_MEGAPIXELS,
                )
            paper = _on_paper(opened)
    except Reading:
        raise
    except Exception:  # a decoder meets damaged bytes in ways of its own: any of them means the same
        raise Reading("found a picture that breaks off or is damaged", SAVE_ANEW, "file_damaged") from None
    out = BytesIO()
    if kind is JpegImageFile:
        paper.save(out, "JPEG", quality=88)
    else:
        paper.save(out, "PNG")
    return out.getvalue()


def _on_paper(opened: ImageFile) -> Image.Image:
    """The first frame, turned upright, its transparent parts white."""
    opened.draft(None, (2 * LARGEST_PX, 2 * LARGEST_PX))  # a large photograph is decoded no larger than that
    image = ImageOps.exif_transpose(opened)
    if image.mode.startswith("I"):  # grey of 16 bits, which a plain conversion cuts off at white
        image = image.convert("I").point(lambda grey: grey * (1 / 256)).convert("L")
        image.info.pop("transparency", None)  # it counts in 16 bits
    image = image.convert("RGBA")
    image.thumbnail((LARGEST_PX, LARGEST_PX))
    paper = Image.new("RGB", image.size, "white")
    paper.paste(image, mask=image.getchannel("A"))
    return paper
