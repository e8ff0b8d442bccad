"""The last step of a workbook: known values beside formulas, and bytes that repeat."""

from __future__ import annotations

import io
import re
import zipfile
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

FORMULA_CELL = re.compile(r'<c r="([A-Z]+\d+)"([^>]*)><f>(.*?)</f><v\s*(?:/>|></v>)</c>', re.DOTALL)
STAMP = re.compile(r"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:\2>)")
LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the earliest date a zip archive can tell


def seal(raw: bytes, known: Mapping[str, Mapping[str, float | str]], day: date) -> bytes:
    """A saved workbook with values in its formula cells and no trace of when it was written.

    `known` gives values by part of the archive (`xl/worksheets/sheet1.xml`) and cell. Raises
    KeyError for a formula whose value is not known: a preview would show it empty.
    """
    sealed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(sealed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = old.read(name)
            if name in known:
                part = _with_values(part.decode("utf-8"), known[name]).encode("utf-8")
            if name == "docProps/core.xml":
                dated = STAMP.sub(rf"\g<1>{day.isoformat()}T00:00:00Z\g<3>", part.decode("utf-8"))
                part = dated.encode("utf-8")
            entry = zipfile.ZipInfo(name, LONG_AGO)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, part)
    return sealed.getvalue()


def _with_values(xml: str, values: Mapping[str, float | str]) -> str:
    def valued(found: re.Match[str]) -> str:
        at, attributes, formula = found.groups()
        value = values[at]
        kind = ' t="str"' if isinstance(value, str) else ""
        shown = escape(value) if isinstance(value, str) else repr(value)
        return f'<c r="{at}"{attributes}{kind}><f>{formula}</f><v>{shown}</v></c>'

    return FORMULA_CELL.sub(valued, xml)
