"""Temperatures: the one measure whose scales do not share their zero."""

from __future__ import annotations

import re

from quoting.errors import Reading
from quoting.measures.plain import in_ascii, quoted

_WRITTEN = re.compile(r"(-?\d+(?:\.\d+)?) ?(?:°|deg\.? ?)?([CF])", re.IGNORECASE)
COLDEST_C, HOTTEST_C = -40.0, 250.0


def temperature(text: str) -> float:
    """A temperature of a shop or of resin [degrees Celsius]: "19 C", "66 F", "19 °C".

    t/C = (t/F - 32) / 1.8 (NIST SP 811, appendix B.9). Raises Reading for anything else, and beyond what a shop has.
    """
    wanted = 'write a temperature such as "19 C" or "66 F"'
    found = _WRITTEN.fullmatch(in_ascii(text))
    if found is None:
        raise Reading(f"found {quoted(text)}", wanted)
    number = float(found[1])
    celsius = number if found[2].upper() == "C" else (number - 32) / 1.8
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise Reading(f"found {quoted(text)}, which no workshop has", wanted)
    return celsius
