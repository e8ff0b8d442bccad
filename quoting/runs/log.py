"""Logging what happened: one saying, a file of rows, a counter-entry; and showing what was logged."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import Problem, Problems, Reading, refuse, refused, right
from quoting.job.load import load_shop
from quoting.ledger import entries, quotes
from quoting.ledger.entries import Entry
from quoting.ledger.requests import Request, done, remember, request
from quoting.ledger.store import Connection, reading
from quoting.logbook.day_sheet import Row, rows_of
from quoting.logbook.in_hand import InHand, in_hand
from quoting.logbook.intake import entry_of
from quoting.logbook.piece import Piece, piece_of
from quoting.logbook.pressed import contradictions
from quoting.logbook.saying import Saying, count_of, day_of
from quoting.logbook.targets import Names, names_of_piece, names_of_shop
from quoting.money import minor_digits
from quoting.reading.sources import read_text
from quoting.runs.pricing import Tell
from quoting.runs.shops import ledger_to_write, typed

KEY = argument("key")
SHOP = "shop"
"""What stands in the place of a number for entries about the shop as a whole."""


class About(NamedTuple):
    """What entries are about: a piece of the ledger with its names, or the shop."""

    name: str
    known: Names
    piece: int | None
    quote: int | None
    there: tuple[Entry, ...] = ()


class Origin(NamedTuple):
    """Whence something is logged: the door that it came through, and the key under which that door asked. A key that was used
    logs nothing more: the entry that it gave is there.
    """

    source: str
    key: str = ""


class Logged(NamedTuple):
    """Entries that were added, those that a row of the file had added before, and the one that was there under the same key."""

    name: str
    added: tuple[Entry, ...]
    there_already: tuple[tuple[int, str], ...] = ()
    before: Entry | None = None


class Shown(NamedTuple):
    """All entries of a piece or of the shop, with the figures of the piece."""

    name: str
    entries: tuple[Entry, ...]
    piece: Piece | None
    figures: InHand | None


def log(
    folder: Path, today: date, name: str, said: Saying, instead_of: str, origin: Origin, tell: Tell
) -> Logged:
    """Add an entry; with `instead_of`, the entry of that number is taken back in the same breath."""
    with ledger_to_write(folder, tell) as book:
        about = _about(book, folder, name)
        asked = _request(origin, about, said, instead_of)
        if (before := _before(book, about, asked)) is not None:
            return Logged(about.name, (), before=before)
        entry = entry_of(said, about.known, today, about.piece, about.quote)
        taken, there = [], list(about.there)
        if instead_of:
            id = _entry_number(instead_of, Advice("instead_of"))
            there = [one for one in there if one.id != id]
            why = f"instead: {said.kind} {said.value}"
            taken = [entries.take_back(book, id, about.piece, entry.day, why, origin.source)]
        refuse(contradictions(entry, there))
        added = entries.add(book, replace(entry, source=origin.source))
        remember(book, asked, entry=added.id)
        return Logged(about.name, (*taken, added))


def void(folder: Path, today: date, name: str, said: Saying, origin: Origin, tell: Tell) -> Logged:
    """Take an entry back by a counter-entry."""
    with ledger_to_write(folder, tell) as book:
        about = _about(book, folder, name)
        asked = _request(origin, about, said, "")
        if (before := _before(book, about, asked)) is not None:
            return Logged(about.name, (), before=before)
        with typed("on"):
            day = day_of(said.on, today)
        id = _entry_number(said.value, "void")
        added = entries.take_back(book, id, about.piece, day, said.words.strip(), origin.source)
        remember(book, asked, entry=added.id)
        return Logged(about.name, (added,))


def _request(origin: Origin, about: About, said: Saying, instead_of: str) -> Request:
    """What is asked to be logged: the words themselves, so that the same ones after midnight are still the same."""
    return request(KEY, origin.key, [about.piece, asdict(said), instead_of])


def _before(book: Connection, about: About, asked: Request) -> Entry | None:
    """The entry that the same request gave before."""
    there = done(book, KEY, asked)
    if there is None:
        return None
    return next(one for one in entries.of_piece(book, about.piece) if one.id == there.entry)


def log_file(folder: Path, today: date, name: str, file: Path, tell: Tell) -> Logged:
    """Add every row of a file, or none. Raises Problems by row; rows that are in the ledger already are left out."""
    problems: list[Problem] = []
    try:
        rows = rows_of(read_text(file), name, problems)
    except Problems as wrong:
        raise Problems([one if one.file else one.at(file.name, one.line) for one in wrong.problems]) from None
    problems = [one.at(file.name, one.line) for one in problems]
    unread = {one.line for one in problems}
    with ledger_to_write(folder, tell) as book:
        known_pieces: dict[str, About] = {}
        read: list[tuple[Row, list[Entry]]] = []
        for row in _known_before(book, [one for one in rows if one.line not in unread]):
            try:
                if row.piece not in known_pieces:
                    known_pieces[row.piece] = _about(book, folder, row.piece)
                read.append((row, _entries(row, today, known_pieces[row.piece], f"{file.name}:{row.line}")))
            except Problems as wrong:
                problems += [one.at(file.name, row.line) for one in wrong.problems]
        refuse([*problems, *_contradictions(read, known_pieces, file.name)])
        there = entries.rows_there(book, [str(one.row_key) for _, made in read for one in made])
        old = tuple((row.line, there[str(made[0].row_key)]) for row, made in read if made[0].row_key in there)
        new = [one for _, made in read for one in made if one.row_key not in there]
        return Logged(file.name, tuple(entries.add(book, one) for one in new), old)


def _known_before(book: Connection, rows: Sequence[Row]) -> list[Row]:
    """Rows under the keys by which the ledger knows them."""
    there = entries.rows_there(book, [_first_key(one.former) for one in rows if one.former != one.key])
    return [one._replace(key=one.former) if _first_key(one.former) in there else one for one in rows]


def _first_key(of_row: str) -> str:
    """The key of the first entry of a row."""
    return f"{of_row}:0"


def show(folder: Path, name: str) -> Shown:
    """Every entry of a piece, or of the shop."""
    with reading(folder) as book:
        if name.casefold() == SHOP:
            return Shown(SHOP, tuple(entries.of_piece(book, None)), None, None)
        piece = piece_of(book, quotes.asked(book, name))
    return Shown(str(piece.number), piece.entries, piece, in_hand(piece))


def _contradictions(
    read: list[tuple[Row, list[Entry]]], known_pieces: dict[str, About], name: str
) -> Iterator[Problem]:
    """Thicknesses of a file that contradict those of the ledger, or of rows above; rows that are there already do not."""
    there = {piece: list(about.there) for piece, about in known_pieces.items()}
    for row, made in read:
        for entry in made:
            if not any(old.row_key == entry.row_key for old in there[row.piece]):
                yield from (one.at(name, row.line) for one in contradictions(entry, there[row.piece]))
                there[row.piece].append(entry)


def _entries(row: Row, today: date, about: About, source: str) -> list[Entry]:
    """The entries of a row. Raises Problems with what is wrong in any of them."""
    made: list[Entry] = []
    problems: list[Problem] = []
    for place, said in enumerate(row.sayings):
        try:
            entry = entry_of(said, about.known, today, about.piece, about.quote)
            made.append(replace(entry, source=source, row_key=f"{row.key}:{place}"))
        except Problems as wrong:
            problems += [one for one in wrong.problems if one not in problems]
    return right(made, problems)


def _about(book: Connection, folder: Path, name: str) -> About:
    if name.casefold() == SHOP:
        brief = load_shop(folder)
        return About(SHOP, names_of_shop(brief, minor_digits(brief.shop.shop.currency)), None, None)
    piece = piece_of(book, quotes.asked(book, name))
    known = names_of_piece(piece.plan)
    return About(str(piece.number), known, piece.quote.piece_id, piece.quote.id, piece.holding)


def _entry_number(text: str, field: str) -> int:
    try:
        return count_of(text, 1)
    except Reading:
        wanted = Advice("entry_number")
        raise refused(field, f'found "{text[:40]}"', wanted, code="not_a_number", found=text[:40]) from None
