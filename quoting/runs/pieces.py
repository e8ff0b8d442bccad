"""Work in hand: every piece on a day, one issued quote as it was, and the sheet to write on at the bench."""

import csv
import io
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.errors import Problem, Problems
from quoting.job.load import load_shop
from quoting.ledger import frozen as files
from quoting.ledger import quotes
from quoting.ledger.quotes import Issued
from quoting.ledger.states import ACCEPTED, OWN_STOCK, SOLD
from quoting.ledger.store import LEDGER_FILE, reading
from quoting.logbook.in_hand import InHand, in_hand
from quoting.logbook.names import names_of_piece
from quoting.logbook.piece import Piece, piece_of, price_of
from quoting.logbook.saying import day_of
from quoting.logbook.time_sheet import DAY_SHEET
from quoting.pricing.record import Priced
from quoting.runs.issuing import write_issued
from quoting.runs.shops import typed
from quoting.written import write_all

DAYS = ("today", "yesterday")
"""Days that are told from today; others may be still to come, as those of dated quotes are."""


class Row(NamedTuple):
    """A piece and its figures."""

    piece: Piece
    figures: InHand


class Pieces(NamedTuple):
    """Pieces on a day; `others` counts those that are not in hand by their state."""

    day: date
    everything: bool
    rows: tuple[Row, ...]
    others: dict[str, int]


def pieces(folder: Path, on: str, everything: bool) -> Pieces:
    """Pieces in hand: ordered and not handed over and paid, or made for sale and not sold. All of them on wish."""
    with typed("--on"):
        day = day_of(on, date.today() if on.strip().casefold() in DAYS else date.max) if on else date.today()
    rows: list[Row] = []
    others: dict[str, int] = {}
    with reading(folder) as book:
        latest = {one.piece_id: one for one in quotes.every(book) if one.face.day <= day or not on}
        for one in latest.values():
            piece = piece_of(book, one, day if on else None)
            row = Row(piece, in_hand(piece))
            if everything or is_in_hand(row):
                rows.append(row)
            else:
                state = piece.standing.words or "not issued yet"
                others[state] = others.get(state, 0) + 1
    return Pieces(day, everything, tuple(rows), others)


def is_in_hand(row: Row) -> bool:
    """True for a piece that work or money is still bound in, or whose money is not settled."""
    standing = row.piece.standing
    bound = standing.deal in (ACCEPTED, SOLD) and not standing.delivered
    return standing.deal in OWN_STOCK or bound or bool(row.figures.owed or row.figures.held)


class Issue(NamedTuple):
    """An issued quote: its record, its frozen price, the piece as it stands, and files written on wish."""

    issued: Issued
    priced: Priced
    piece: Piece
    figures: InHand
    written: list[Path]


def show(folder: Path, name: str, out: Path | None, xml: bool) -> Issue:
    """An issued quote as it was stored; its papers and those of its changes are written into `out`, the very bytes.
    With `xml` an electronic quote is made from the stored price where none was issued.
    """
    if xml and out is None:
        raise Problems([Problem("--xml", "found no folder to write into", "add --out FOLDER")])
    with reading(folder) as book:
        issued = quotes.asked(book, name)
        result = price_of(book, "quote_file", issued.id)
        documents = files.kept(book, "quote_file", issued.id, files.DOCUMENT)
        piece = piece_of(book, issued)
        for change in piece.changes:
            documents |= files.kept(book, "change_file", change.entry.id, files.DOCUMENT)
    if xml:  # beside the quote on paper; as it was issued, where it was
        from quoting.documents.open_forms import electronic_quote_bytes

        paper = next(name for name in documents if name.endswith("quote.pdf"))
        documents = {f"{paper.removesuffix('.pdf')}.xml": electronic_quote_bytes(result), **documents}
    written = write_issued(out, str(issued.number), documents) if out is not None else []
    return Issue(issued, result, piece, in_hand(piece), written)


def daysheet(folder: Path, out: Path | None) -> list[Path]:
    """Write both; the pieces in hand stand on the sheet with their numbers and stages."""
    from quoting.documents.bench.wall import SheetPiece, day_sheet_bytes

    brief = load_shop(folder)
    rows = pieces(folder, "", everything=False).rows if (folder / LEDGER_FILE).is_file() else ()
    listed = [
        SheetPiece(str(one.piece.number), one.piece.quote.face.title, names_of_piece(one.piece.plan).stages)
        for one in rows
    ]
    header = io.StringIO()
    csv.writer(header, lineterminator="\n").writerow(DAY_SHEET)
    files = {
        "day sheet.pdf": day_sheet_bytes(brief.shop.shop, listed, date.today()),
        "day sheet.csv": header.getvalue().encode(),
    }
    origin = f"day sheet of {folder.resolve()}"
    return write_all(folder if out is None else out, files, origin, overwrite=False)
