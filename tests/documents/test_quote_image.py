"""Pictures as cameras, scanners and phones write them come out upright and in their colours; others are refused."""

from __future__ import annotations

import random
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from quoting.documents.paper.picture import LARGEST_PX, printable
from quoting.errors import Reading

RED, BLUE, GREEN, WHITE = (255, 0, 0), (0, 0, 255), (0, 255, 0), (255, 255, 255)
CORNERS = ((0.1, 0.2), (0.9, 0.2), (0.1, 0.8), (0.9, 0.8))
# TIFF 6.0, tag 274 (Orientation), from memory: where the first row and the first column of the file are seen.
SEEN = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def field(wide: int = 80, high: int = 40) -> Image.Image:
    """Red above green on the left, blue on the right: no turn of it looks like another."""
    image = Image.new("RGB", (wide, high), BLUE)
    image.paste(RED, (0, 0, wide // 2, high // 2))
    image.paste(GREEN, (0, high // 2, wide // 2, high))
    return image


def lying(upright: Image.Image, first_row: str, first_column: str) -> Image.Image:
    """The picture as a file stores it whose first row and column are seen at those sides."""
    turned = first_row in ("left", "right")
    stored = upright.transpose(Image.Transpose.TRANSPOSE) if turned else upright
    if first_row in ("right", "bottom"):
        stored = stored.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
    if first_column in ("right", "bottom"):
        stored = stored.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    return stored


def saved(image: Image.Image, kind: str, **more: Any) -> bytes:
    out = BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def corners(data: bytes) -> list[tuple[int, ...]]:
    """The colours near the corners of what is printed, to the nearest 85 of each part."""
    with Image.open(BytesIO(printable(data))) as image:
        assert image.mode == "RGB"
        points = [image.getpixel((int(x * image.width), int(y * image.height))) for x, y in CORNERS]
    return [tuple(round(part / 85) * 85 for part in point) for point in points]


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P"])
def test_colours_of_a_png_are_kept(mode: str) -> None:
    assert corners(saved(field().convert(mode), "PNG")) == [RED, BLUE, GREEN, BLUE]


@pytest.mark.parametrize("mode", ["RGB", "CMYK"])
def test_colours_of_a_jpeg_are_kept(mode: str) -> None:
    assert corners(saved(field().convert(mode), "JPEG", quality=95)) == [RED, BLUE, GREEN, BLUE]


@pytest.mark.parametrize("kind", ["RGBA", "P"])
def test_what_is_transparent_is_white(kind: str) -> None:
    if kind == "P":
        image = field().quantize(4)
        data = saved(image, "PNG", transparency=image.getpixel((0, 0)))
    else:
        image = field().convert("RGBA")
        image.paste((0, 0, 0, 0), (0, 0, 40, 20))
        data = saved(image, "PNG")
    assert corners(data) == [WHITE, BLUE, GREEN, BLUE]


def test_grey_of_sixteen_bits_keeps_its_shades() -> None:
    """A quarter and three quarters of full white, which a plain conversion would both print white."""
    image = Image.new("I;16", (80, 40))
    for x in range(80):
        for y in range(40):
            image.putpixel((x, y), 16384 if x < 40 else 49152)
    with Image.open(BytesIO(printable(saved(image, "PNG")))) as shown:
        assert [shown.getpixel((x, 20)) for x in (10, 70)] == [(64, 64, 64), (192, 192, 192)]


@pytest.mark.parametrize("orientation", SEEN)
@pytest.mark.parametrize(("kind", "size"), [("JPEG", (80, 40)), ("JPEG", (6000, 3000)), ("PNG", (80, 40))])
def test_a_camera_held_sideways_is_turned_upright(kind: str, size: tuple[int, int], orientation: int) -> None:
    """The pixels are stored as the camera lay; what is printed stands upright, whatever its size."""
    note = Image.Exif()
    note[0x0112] = orientation
    data = saved(lying(field(*size), *SEEN[orientation]), kind, exif=note)
    assert corners(data) == [RED, BLUE, GREEN, BLUE]
    with Image.open(BytesIO(printable(data))) as shown:
        assert shown.width == 2 * shown.height
        assert dict(shown.getexif()) == {}


def test_an_animation_prints_its_first_picture() -> None:
    data = saved(field(), "PNG", save_all=True, append_images=[Image.new("RGB", (80, 40), "black")] * 2)
    assert b"acTL" in data
    assert corners(data) == [RED, BLUE, GREEN, BLUE]


def test_a_large_picture_is_made_small() -> None:
    for kind in ("JPEG", "PNG"):
        with Image.open(BytesIO(printable(saved(field(4000, 1000), kind)))) as shown:
            assert shown.size == (LARGEST_PX, LARGEST_PX // 4)


@pytest.mark.parametrize(
    "data", [b"", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a", b"%PDF-1.7", saved(field(), "GIF")]
)
def test_what_is_no_png_or_jpeg_is_refused(data: bytes) -> None:
    with pytest.raises(Reading, match=r"found an empty file|neither a PNG nor a JPEG"):
        printable(data)


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_damaged_bytes_are_refused_or_printed_and_nothing_else(kind: str) -> None:
    """Cut off anywhere, or with bytes exchanged: a picture of ours comes out, or a message."""
    note = Image.Exif()
    note[0x0112] = 6
    whole = saved(field(160, 80), kind, exif=note)
    chance = random.Random(7)
    damaged = [whole[:cut] for cut in range(0, len(whole) - 12, 7)]
    for _ in range(400):
        other = bytearray(whole)
        for _ in range(chance.randint(1, 6)):
            other[chance.randrange(len(other))] = chance.randrange(256)
        damaged.append(bytes(other))
    refused = 0
    for data in damaged:
        try:
            assert Image.open(BytesIO(printable(data))).mode == "RGB"
        except Reading:
            refused += 1
    assert refused > 50


def test_a_picture_cut_off_is_refused() -> None:
    for kind in ("PNG", "JPEG"):
        whole = saved(field(400, 200), kind)
        with pytest.raises(Reading, match="breaks off"):
            printable(whole[: len(whole) // 2])
