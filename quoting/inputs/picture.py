"""The bytes of a picture that a maker's file names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Reading
from quoting.inputs.beside import Wanted, file_beside
from quoting.measures.plain import quoted

if TYPE_CHECKING:
    from pathlib import Path

MEGABYTE = 1_000_000
LARGEST_FILE_MB = 20
PICTURE = Wanted(
    (".png", ".jpg", ".jpeg"),
    "PNG or JPEG",
    "picture",
    "write the name of a PNG or JPEG in the folder of this file, such as bench.jpg",
)


def picture_bytes(folder: Path, name: str) -> bytes:
    """The file `name` in `folder`. Reading where it lies elsewhere, is no plain file, or is far too large."""
    path = file_beside(folder, name, PICTURE)
    size_mb = path.stat().st_size / MEGABYTE
    if size_mb > LARGEST_FILE_MB:
        raise Reading(
            f"found {quoted(name)} of {size_mb:.1f} MB",
            f"write the name of a picture of at most {LARGEST_FILE_MB} MB",
        )
    return path.read_bytes()
