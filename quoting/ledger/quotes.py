"""Issued quotes: numbered without gaps, never changed."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quoting.advice import Advice
from quoting.errors import Reading, nearest, refused
from quoting.ledger.entries import holding, in_minor, of_minor, of_piece
from quoting.ledger.frozen import Kept, keep
from quoting.ledger.states import AWAITING, BOUND, OWN_STOCK, standing_of
from quoting.ledger.store import moment, records

LETTERS = 26
_WRITTEN = re.compile(r"(\d{4})-(\d{1,6})([a-z]{0,3})")
MOST_TOLD = 5
_SHORT = re.compile(r"(\d{1,6})([a-z]{0,3})")


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
        raise Reading(
            f'found "{text[:40]}"',
            "write a number such as 2027-014, or 2027-014b for a revision",
            "unreadable",
            found=text[:40],
        )
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


class Face(NamedTuple):
    """What an issued quote says of itself, for lists: the rest is in its frozen results."""

    day: date
    valid_until: date
    title: str
    client: str
    basis: str
    currency: str
    digits: int
    total: Decimal


@dataclass(frozen=True, slots=True)
class Issued:
    """An issued quote. `id` and `piece_id` are keys of the ledger; `made_with` names engine, templates and fonts."""

    id: int
    piece_id: int
    number: Number
    face: Face
    made_with: Mapping[str, str]
    at: str


_COLUMNS = "quote.id, piece, year, serial, revision, day, valid_until, title, client, basis, currency, digits, total, made_with, at"


def next_number(connection: sqlite3.Connection, year: int) -> Number:
    """The number of the next piece of a year. It is free as long as the transaction lasts."""
    last = connection.execute("SELECT max(serial) FROM piece WHERE year = ?", (year,)).fetchone()[0]
    return Number(year, (last or 0) + 1)


def next_revision(connection: sqlite3.Connection, of: Number) -> Number:
    """The number of the next revision of a piece."""
    return of._replace(revision=1 + max(one.number.revision for one in quotes_of(connection, of)))


def add(
    connection: sqlite3.Connection,
    at: Number,
    face: Face,
    made_with: Mapping[str, str],
    files: Iterable[Kept],
) -> Issued:
    """Add an issued quote with everything that it froze."""
    piece = (at.year, at.serial)
    connection.execute("INSERT INTO piece (year, serial) VALUES (?, ?) ON CONFLICT DO NOTHING", piece)
    row = connection.execute("SELECT id FROM piece WHERE year = ? AND serial = ?", piece)
    piece_id = int(row.fetchone()[0])
    written = connection.execute(
        "INSERT INTO quote (piece, revision, day, valid_until, title, client, basis, currency, digits, total, made_with, at)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            piece_id, at.revision, face.day.isoformat(), face.valid_until.isoformat(), face.title, face.client, face.basis,
            face.currency, face.digits, in_minor(face.total, face.digits), json.dumps(dict(made_with), sort_keys=True), moment(),
        ),
    )  # fmt: skip
    keep(connection, "quote_file", int(written.lastrowid or 0), files)
    return find(connection, at)


def find(connection: sqlite3.Connection, wanted: Number) -> Issued:
    """The issued quote of a number. Raises Problems with the nearest one that there is."""
    found = [one for one in quotes_of(connection, wanted) if one.number == wanted]
    if not found:
        there = [str(one.number) for one in every(connection)]
        advice = nearest(str(wanted), reversed(there)) if there else Advice("issue_first")
        raise refused("", f"found no quote {wanted}", advice, code="unknown_name")
    return found[0]


def is_number(text: str) -> bool:
    """True for what may name an issued quote: a whole number, or only what it ends with."""
    return bool(_WRITTEN.fullmatch(text.strip().casefold()) or _SHORT.fullmatch(text.strip().casefold()))


def asked(connection: sqlite3.Connection, text: str) -> Issued:
    """The issued quote that a maker names: by its whole number, or by what it ends with where only one ends so (`_ending`). Raises
    Problems for a text that is no number, or no quote's.
    """
    short = _SHORT.fullmatch(text.strip().casefold())
    try:
        if short is not None:
            if found := _ending(connection, int(short[1]), _position(short[2])):
                return found
            newest = [str(one.number) for one in every(connection)][-MOST_TOLD:]
            there = f"write the number of one, such as {', '.join(newest)}" if newest else "issue one first"
            raise refused(
                "", f'found no quote that ends with "{text.strip()}"', there, code="unknown_name", name=text
            )
        return find(connection, number(text))
    except Reading as reading:
        raise refused("", reading.found, reading.write, code="unreadable") from None


def _ending(connection: sqlite3.Connection, serial: int, revision: int) -> Issued | None:
    """The one quote whose number ends so, in whatever year; where several do, the one of them that is in hand. None where none
    does. Raises Problems that list them where it is not clear which is meant.
    """
    found = [one for one in every(connection) if one.number[1:] == (serial, revision)]
    alive = [one for one in found if _in_hand(connection, one)]
    meant = found if len(found) == 1 else alive
    if len(meant) == 1 or not found:
        return meant[0] if meant else None
    numbers = [str(one.number) for one in alive or found]
    ending = f"{serial:03}{_letters(revision)}"
    several, wanted = f"found several quotes that end with {ending}", f"write one of: {', '.join(numbers)}"
    raise refused("", several, wanted, code="unclear", name=ending, known=numbers)


def _in_hand(connection: sqlite3.Connection, one: Issued) -> bool:
    """True for a piece that is asked for, ordered or the maker's own, and not handed over."""
    now = standing_of(holding(of_piece(connection, one.piece_id)))
    return now.deal in (AWAITING, *BOUND, *OWN_STOCK) and not now.delivered


def quotes_of(connection: sqlite3.Connection, of: Number) -> list[Issued]:
    """The revisions of a piece, the first one first."""
    return _rows(connection, "WHERE year = ? AND serial = ? ORDER BY revision", (of.year, of.serial))


def every(connection: sqlite3.Connection) -> list[Issued]:
    """All issued quotes, in the order of their numbers."""
    return _rows(connection, "ORDER BY year, serial, revision", ())


def _rows(connection: sqlite3.Connection, rest: str, values: tuple[object, ...]) -> list[Issued]:
    sql = f"SELECT {_COLUMNS} FROM quote JOIN piece ON piece.id = quote.piece {rest}"
    return records(connection, sql, values, _issued)


def _issued(row: tuple[str, ...]) -> Issued:
    id, piece, year, serial, revision, *said, made, at = row
    day, valid, title, client, basis, currency, digits, total = said
    first, last = date.fromisoformat(day), date.fromisoformat(valid)
    amount = of_minor(int(total), int(digits))
    face = Face(first, last, title, client, basis, currency, int(digits), amount)
    at_number = Number(int(year), int(serial), int(revision))
    return Issued(int(id), int(piece), at_number, face, json.loads(made), at)
