"""Numbers of issued quotes: year, a count without gaps, and a letter for every revision."""

from __future__ import annotations

import re
from typing import NamedTuple

from quoting.errors import Reading

LETTERS = 26
_WRITTEN = re.compile(r"(\d{4})-(\d{1,6})([a-z]{0,3})")


class Number(NamedTuple):
    """`2027-014b`: the year, the piece's count in it, and the revision (0 for the first, 1 for b)."""

    year: int
    serial: int
    revision: int = 0

    def __str__(self) -> str:
        return f"{self.year}-{self.serial:03}{_letters(self.revision)}"

    @property
    def piece(self) -> Number:
        """The number under which a piece is known whatever its revision."""
        return self._replace(revision=0)


def number(text: str) -> Number:
    """A number as a maker writes it: "2027-014", "2027-14", "2027-014B". Raises Reading otherwise."""
    found = _WRITTEN.fullmatch(text.strip().casefold())
    if found is None or not int(found[2]):
        raise Reading(f'found "{text[:40]}"', "write a number such as 2027-014, or 2027-014b for a revision")
    return Number(int(found[1]), int(found[2]), _position(found[3]))


def _letters(revision: int) -> str:
    """Nothing for the first, then b, c, ... z, aa, ab, ...: letters count as in the columns of a sheet."""
    if not revision:
        return ""
    count, letters = revision + 1, ""
    while count:
        count, place = divmod(count - 1, LETTERS)
        letters = chr(ord("a") + place) + letters
    return letters


def _position(letters: str) -> int:
    """The revision that letters stand for; "a" is another way to write the first."""
    count = 0
    for letter in letters:
        count = count * LETTERS + ord(letter) - ord("a") + 1
    return max(count - 1, 0)
