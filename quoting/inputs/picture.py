"""The bytes of a picture that a maker's file names: a plain file inside the folder of that file, and no other."""

from __future__ import annotations

from pathlib import Path

from quoting.errors import Reading
from quoting.measures.plain import quoted

KINDS = (".png", ".jpg", ".jpeg")
MEGABYTE = 1_000_000
LARGEST_FILE_MB = 20
WANTED = "write the name of a PNG or JPEG in the folder of this file, such as bench.jpg"


def picture_bytes(folder: Path, name: str) -> bytes:
    """The file `name` in `folder`. Reading where it lies elsewhere, is no plain file, or is far too large.

    Where a link leads is what counts. Nothing is opened before it is known to be a plain file: a pipe would
    never end.
    """
    said = quoted(name)
    try:
        path = (folder / name).resolve()
        inside = path.is_relative_to(folder.resolve())
        plain, there = path.is_file(), path.exists()
        size_mb = path.stat().st_size / MEGABYTE if plain else 0.0
    except (OSError, RuntimeError):  # a name longer than a file can have; links that go in a circle
        raise Reading(f"found {said}, which leads to no file", WANTED) from None
    if Path(name).is_absolute() or not inside:
        raise Reading(f"found {said}, which is outside the folder of this file", WANTED)
    if Path(name).suffix.lower() not in KINDS:
        raise Reading(f"found {said}, which is no PNG or JPEG by its name", WANTED)
    if not plain:
        what = "which is a folder or a device, not a picture" if there else "and no such file is there"
        raise Reading(f"found {said}, {what}", WANTED)
    if size_mb > LARGEST_FILE_MB:
        raise Reading(
            f"found {said} of {size_mb:.1f} MB",
            f"write the name of a picture of at most {LARGEST_FILE_MB} MB",
        )
    return path.read_bytes()
