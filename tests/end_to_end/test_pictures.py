"""Picture and logo: printed, or refused with their places before anything is written."""

from __future__ import annotations

import os
import struct
import zlib
from io import BytesIO
from typing import TYPE_CHECKING

import pdfplumber
import pytest
from end_to_end.command import contents, edited, environment, quoting_run
from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def photograph(kind: str = "JPEG", size: tuple[int, int] = (90, 60)) -> bytes:
    out = BytesIO()
    Image.new("RGB", size, "#8a6f4d").save(out, kind)
    return out.getvalue()


def blank_png(wide: int, high: int) -> bytes:
    """A sound PNG of one bit a pixel, all alike, made row by row: a few kilobytes, however many pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    packer = zlib.compressobj(9)
    row = b"\0" * (1 + -(-wide // 8))
    data = b"".join(packer.compress(row) for _ in range(high)) + packer.flush()
    head = struct.pack(">IIBBBBB", wide, high, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def make_large(path: Path) -> None:
    path.write_bytes(photograph() + bytes(20_000_000))


def make_link(path: Path) -> None:
    (path.parents[2] / "outside.png").write_bytes(photograph("PNG"))
    path.symlink_to(path.parents[2] / "outside.png")


def make_circle(path: Path) -> None:
    path.symlink_to(path.name)


def named(bench: Path, picture: str, logo: str = "") -> None:
    """Names the pictures in the files themselves, so that the messages can tell the lines."""
    edited(bench, '[piece]\ntitle = "Oak bench"\n', f'[piece]\npicture = "{picture}"\ntitle = "Oak bench"\n')
    if logo:
        shop = bench.parent.parent / "shop.toml"
        edited(shop, "[shop]\n", f'[shop]\nlogo = "{logo}"\n')


def line_of(path: Path, key: str) -> int:
    lines = path.read_text("utf-8").splitlines()
    return next(i for i, line in enumerate(lines, start=1) if line.startswith(f"{key} ="))


def refused(bench: Path, out: Path) -> str:
    """What `quote` and `check` say of a job they refuse; no file is made or changed, here or in `out`."""
    before = contents(bench.parents[2])
    said = []
    for command in (["quote", bench, "--out", out], ["quote", bench], ["check", bench]):
        done = quoting_run(*command, env=environment(TMPDIR=str(bench.parents[2])))
        assert done.returncode == 2, done.stdout
        assert done.stdout == ""
        said.append(done.stderr.replace("pricing\n", ""))
    assert said[0] == said[1] == said[2]
    assert contents(bench.parents[2]) == before
    assert not out.exists()
    return said[0]


MAKES: dict[str, tuple[bytes | Callable[[Path], None], str]] = {
    "of 100 megapixels": (blank_png(10_000, 10_000), "found a picture of 10000 x 10000 pixels, 100.0 megapixels; write the name of one of at most 50 megapixels"),
    "of 900 megapixels": (blank_png(30_000, 30_000), "found a picture of 30000 x 30000 pixels, 900.0 megapixels; write"),
    "cut off": (photograph("PNG", (900, 600))[:-40], "found a picture that breaks off or is damaged; write"),
    "a drawing by another name": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "found a file that is neither a PNG nor a JPEG inside; write"),
    "empty": (b"", "found an empty file; write"),
    "a folder": (lambda path: path.mkdir(), 'found "bad.png", which is a folder or a device, not a picture; write'),
    "a pipe": (lambda path: os.mkfifo(path), 'found "bad.png", which is a folder or a device, not a picture; write'),
    "a link to a device": (lambda path: path.symlink_to("/dev/zero"), 'found "bad.png", which is outside the folder of this file; write'),
    "a link that leaves": (make_link, 'found "bad.png", which is outside the folder of this file; write'),
    "a link to itself": (make_circle, 'found "bad.png", which leads to no file; write'),
    "over 20 MB": (make_large, 'found "bad.png" of 20.0 MB; write the name of a picture of at most 20 MB'),
    "missing": (lambda path: None, 'found "bad.png", and no such file is there; write'),
}  # fmt: skip


@pytest.mark.parametrize("what", MAKES)
def test_a_picture_that_cannot_be_printed_is_told_with_its_place(
    what: str, bench: Path, tmp_path: Path
) -> None:
    content, words = MAKES[what]
    path = bench.parent / "bad.png"
    if isinstance(content, bytes):
        path.write_bytes(content)
    else:
        content(path)
    named(bench, "bad.png")
    said = refused(bench, tmp_path / "out")
    assert f"first-bench.toml:{line_of(bench, 'picture')}: piece.picture: {words}" in said
    assert "1 thing to put right; nothing was written." in said


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("../secret.png", "is outside the folder"),
        ("jobs/../../secret.png", "is outside the folder"),
        ("/etc/hostname", "is outside the folder"),
        ("bench.gif", "is no PNG or JPEG by its name"),
        ("bench", "is no PNG or JPEG by its name"),
        ("n" * 10_000 + ".png", "leads to no file"),
        (".", "is no PNG or JPEG by its name"),
    ],
)
def test_a_name_that_is_no_picture_beside_the_job_is_refused(
    name: str, words: str, bench: Path, tmp_path: Path
) -> None:
    (bench.parent.parent / "secret.png").write_bytes(photograph("PNG"))
    for other in ("bench.gif", "bench"):
        (bench.parent / other).write_bytes(photograph("PNG"))
    named(bench, name)
    said = refused(bench, tmp_path / "out")
    assert f': piece.picture: found "{name[:20]}' in said
    assert words in said
    assert len(said) < 400


def test_an_absolute_path_is_refused_even_into_the_folder(bench: Path, tmp_path: Path) -> None:
    """A folder that is sent to somebody else must hold all that it needs."""
    path = bench.parent / "bench.png"
    path.write_bytes(photograph("PNG"))
    named(bench, str(path))
    assert "is outside the folder of this file; write the name of" in refused(bench, tmp_path / "out")


def test_both_pictures_and_everything_else_are_told_at_once(bench: Path, tmp_path: Path) -> None:
    """Each with the file and the line that names it, and by the folder of that file."""
    shop = bench.parent.parent
    (shop / "bench.png").write_bytes(photograph("PNG"))
    (bench.parent / "logo.png").write_bytes(photograph("PNG"))
    named(bench, "bench.png", "logo.png")
    edited(bench, 'product = "hard wax oil"', 'product = "no such oil"')
    said = refused(bench, tmp_path / "out")
    assert f"first-bench.toml:{line_of(bench, 'picture')}: piece.picture: found" in said
    assert f"shop.toml:{line_of(shop / 'shop.toml', 'logo')}: shop.logo: found" in said
    assert "no such oil" in said
    assert "3 things to put right" in said


def test_a_value_tried_is_told_as_one(bench: Path, tmp_path: Path) -> None:
    done = quoting_run("quote", bench, "--out", tmp_path / "out", "--set", "shop.logo=no.png")
    assert done.returncode == 2
    assert '--set: shop.logo: found "no.png", and no such file is there; write' in done.stderr


def test_pictures_in_place_are_printed(bench: Path, tmp_path: Path) -> None:
    """A picture in a folder below, a logo by way of a link that stays inside: both are on page one, in shape."""
    shop = bench.parent.parent
    (bench.parent / "pictures").mkdir()
    (bench.parent / "pictures" / "bench.JPG").write_bytes(photograph("JPEG", (900, 600)))
    (shop / "mark.png").write_bytes(photograph("PNG", (100, 600)))
    (shop / "logo.png").symlink_to("mark.png")
    named(bench, "pictures/bench.JPG", "logo.png")
    done = quoting_run("quote", bench, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert "warning: piece.picture" not in done.stdout
    with pdfplumber.open(tmp_path / "out" / "first-bench quote.pdf") as document:
        images = document.pages[0].images
        ratios = sorted(image["width"] / image["height"] for image in images)
    assert ratios == pytest.approx([1 / 6, 1.5], rel=0.01)


def test_a_cameras_faulty_note_beside_a_sound_picture_is_nobodys_business(
    bench: Path, tmp_path: Path
) -> None:
    """Three entries are promised, and the file of the note ends in the first."""
    note = b"Exif\0\0II*\0" + struct.pack("<LHHHLL", 8, 3, 0x112, 3, 1, 6)
    out = BytesIO()
    Image.new("RGB", (90, 60), "#8a6f4d").save(out, "JPEG", exif=note[:-1])
    (bench.parent / "bench.jpg").write_bytes(out.getvalue())
    named(bench, "bench.jpg")
    done = quoting_run("quote", bench, "--out", tmp_path / "out")
    assert (done.returncode, done.stderr) == (0, "")
