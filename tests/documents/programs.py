"""The programs that recalculate workbooks: what two of them reckon alike, others do too."""

from __future__ import annotations

import subprocess
from typing import TYPE_CHECKING, Any

from documents.workbooks import program, recalculated, reckoned

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path


def recalculated_by_gnumeric(folder: Path, books: Mapping[str, bytes]) -> dict[str, Any]:
    """Every workbook as Gnumeric reckons it anew, whatever values it came with."""
    convert = program("ssconvert")
    given, made = folder / "given", folder / "made"
    given.mkdir(parents=True)
    made.mkdir()
    for number, data in enumerate(books.values()):
        (given / f"{number}.xlsx").write_bytes(data)
        command = [convert, "--recalc", str(given / f"{number}.xlsx"), str(made / f"{number}.xlsx")]
        subprocess.run(command, check=True, capture_output=True, timeout=60)
    return reckoned(folder, books)


PROGRAMS: dict[str, Callable[[Path, Mapping[str, bytes]], dict[str, Any]]] = {
    "LibreOffice": recalculated,
    "Gnumeric": recalculated_by_gnumeric,
}
