"""A file that a maker's file names: a plain file inside the folder of that file, and no other."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from quoting.errors import Reading
from quoting.measures.plain import quoted


class Wanted(NamedTuple):
    """What a file should be: the ends of its name, what those are called, what it is, and what to write instead."""

    suffixes: tuple[str, ...]
    called: str
    thing: str
    write: str


def file_beside(folder: Path, name: str, wanted: Wanted) -> Path:
    """The file `name` in `folder`. Reading where it lies elsewhere, is not called so, or is no plain file.

    Where a link leads is what counts. Nothing is opened before it is known to be a plain file: a pipe would
    never end.
    """
    said = quoted(name)
    try:
        path = (folder / name).resolve()
        inside = path.is_relative_to(folder.resolve())
        plain, there = path.is_file(), path.exists()
    except (OSError, RuntimeError):  # a name longer than a file can have; links that go in a circle
        raise Reading(f"found {said}, which leads to no file", wanted.write) from None
    if Path(name).is_absolute() or not inside:
        raise Reading(f"found {said}, which is outside the folder of this file", wanted.write)
    if Path(name).suffix.lower() not in wanted.suffixes:
        raise Reading(f"found {said}, which is no {wanted.called} by its name", wanted.write)
    if not plain:
        what = (
            f"which is a folder or a device, not a {wanted.thing}" if there else "and no such file is there"
        )
        raise Reading(f"found {said}, {what}", wanted.write)
    return path
