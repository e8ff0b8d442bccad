"""The programs that recalculate workbooks: what two of them reckon alike, others do too."""

from __future__ import annotations

import subprocess
import warnings
from typing import TYPE_CHECKING, Any

import openpyxl
from documents.workbooks import program, recalculated

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path


def recalculated_by_gnumeric(folder: Path, books: Mapping[str, bytes]) -> dict[str, Any]:
    """Every workbook as Gnumeric reckons it anew, whatever values it came with."""
    convert = program("ssconvert")
    folder.mkdir(parents=True, exist_ok=True)
    given, made = folder / "given.xlsx", folder / "made.xlsx"
    found = {}
    for name, data in books.items():
        given.write_bytes(data)
        made.unlink(missing_ok=True)
        subprocess.run(
            [convert, "--recalc", str(given), str(made)], check=True, capture_output=True, timeout=60
        )
        with warnings.catch_warnings():
            # Gnumeric names no style of its copy "Normal"; only values are read from it.
            warnings.filterwarnings("ignore", "Workbook contains no default style", UserWarning)
            found[name] = openpyxl.load_workbook(made, data_only=True)
    return found


PROGRAMS: dict[str, Callable[[Path, Mapping[str, bytes]], dict[str, Any]]] = {
    "LibreOffice": recalculated,
    "Gnumeric": recalculated_by_gnumeric,
}
