"""The shop folder that is meant, and what its ledger tells: work in hand, quotes as they were issued."""

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import Problem, Problems, Reading, refused
from quoting.job.files import SHOP_FILE
from quoting.job.load import load_shop
from quoting.ledger import frozen as files
from quoting.ledger import quotes
from quoting.ledger.quotes import Issued
from quoting.ledger.sound import synced_by
from quoting.ledger.states import OWN_STOCK
from quoting.ledger.store import LEDGER_FILE, Connection, reading, writing
from quoting.logbook.day_sheet import DAY_SHEET
from quoting.logbook.in_hand import InHand, in_hand
from quoting.logbook.lapsing import Lapse, lapsing
from quoting.logbook.piece import Piece, piece_of, price_of
from quoting.logbook.saying import day_of
from quoting.logbook.targets import names_of_piece
from quoting.pricing.record import Priced
from quoting.runs.pricing import Tell
from quoting.written import write_all

WAITING = Advice("ledger_awaited")
DAYS = ("today", "yesterday")
"""Days that are told from today; others may be still to come, as those of dated quotes are."""


def shop_folder_here(given: Path | None, here: Path) -> Path:
    """The shop folder: the one given, the one `here`, or the one above."""
    folders = (given,) if given is not None else (here, here.parent)
    for folder in folders:
        if (folder / SHOP_FILE).is_file():
            return folder
    place = str(given) if given is not None else "here or in the folder above"
    raise refused("", f"found no {SHOP_FILE} in {place}", Advice("give_shop"), code="no_shop", folder=place)


@contextmanager
def ledger_to_write(folder: Path, tell: Tell, existing: bool = True) -> Iterator[Connection]:
    """The ledger of a shop in one transaction; told is where it lies in a synced folder, or is waited for."""
    if place := synced_by(folder.resolve()):
        tell(Advice("folder_synced", folder=place))
    with writing(folder, lambda: tell(WAITING), existing=existing) as book:
        yield book


@contextmanager
def typed(name: str) -> Iterator[None]:
    """Reads what was given beside the files: what cannot be read is a problem of its argument."""
    try:
        yield
    except Reading as wrong:
        raise Problems([wrong.problem(argument(name))]) from None


def write_issued(folder: Path, number: str, files: dict[str, bytes]) -> list[Path]:
    """Write papers of an issued quote or of its changes. Raises Problems that say what is safe in the ledger."""
    try:
        return write_all(folder, files, f"issued {number}", overwrite=False)
    except (Problems, OSError) as error:
        found = f"{number} is issued and safe in the ledger, but its files were not written"
        why = error.problems if isinstance(error, Problems) else []
        if not why:
            found = " ".join(f"{found}: {error}".split())
        wanted = Advice("write_papers_again", number=number)
        safe = Problem.of("", found, wanted, "cannot_write", number=number)
        raise Problems([safe, *why], done=True) from None


class Row(NamedTuple):
    """A piece and its figures."""

    piece: Piece
    figures: InHand


SUMMED = ("received", "owed", "cost", "to_spend", "kept")


class Pieces(NamedTuple):
    """Pieces on a day; `others` counts those that are not in hand by their state; `lapsing` are quotes to ask after."""

    day: date
    everything: bool
    rows: tuple[Row, ...]
    others: dict[str, int]
    lapsing: tuple[Lapse, ...]

    def sums(self) -> dict[str, dict[str, Decimal]]:
        """What their figures come to by currency, each under its name [money]."""
        found: dict[str, dict[str, Decimal]] = {}
        for row in self.rows:
            of = found.setdefault(row.piece.plan.currency, dict.fromkeys(SUMMED, Decimal(0)))
            for name in SUMMED:
                of[name] += getattr(row.figures, name)
        return found


def pieces(folder: Path, today: date, on: str, everything: bool) -> Pieces:
    """Pieces in hand: ordered and not handed over and paid, or made for sale and not sold. All of them on wish."""
    with typed("on"):
        day = day_of(on, today if on.strip().casefold() in DAYS else date.max) if on else today
    rows: list[Row] = []
    others = Counter[str]()
    every = every_piece(folder, day if on else None)
    for piece in every:
        row = Row(piece, in_hand(piece))
        if everything or is_in_hand(row):
            rows.append(row)
        else:
            others[piece.standing.words or "not issued yet"] += 1
    return Pieces(day, everything, tuple(rows), others, lapsing(every, day))


def every_piece(folder: Path, until: date | None = None) -> list[Piece]:
    """Every piece of the ledger as it stands, or as it stood at the end of a day."""
    with reading(folder) as book:
        latest = {one.piece_id: one for one in quotes.every(book) if until is None or one.face.day <= until}
        return [piece_of(book, one, until) for one in latest.values()]


def is_in_hand(row: Row) -> bool:
    """True for a piece that work or money is still bound in, or whose money is not settled."""
    standing = row.piece.standing
    ours = standing.ordered or standing.deal in OWN_STOCK
    return ours or bool(row.figures.owed or row.figures.held)


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
        raise refused(argument("xml"), "found no folder to write into", Advice("give_out"), code="missing")
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


def daysheet(folder: Path, today: date, out: Path | None) -> list[Path]:
    """Write both; the pieces in hand stand on the sheet with their numbers and stages."""
    from quoting.documents.bench.wall import SheetPiece, day_sheet_bytes

    brief = load_shop(folder)
    rows = pieces(folder, today, "", everything=False).rows if (folder / LEDGER_FILE).is_file() else ()
    there = [one.piece for one in rows]
    listed = [
        SheetPiece(str(one.number), one.quote.face.title, names_of_piece(one.plan).stages) for one in there
    ]
    files = {
        "day sheet.pdf": day_sheet_bytes(brief.shop.shop, listed, today),
        "day sheet.csv": f"{','.join(DAY_SHEET)}\n".encode(),
    }
    origin = f"day sheet of {folder.resolve()}"
    return write_all(folder if out is None else out, files, origin, overwrite=False)
