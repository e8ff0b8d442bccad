"""The shop folder that a command is about, and its ledger: work in hand, quotes as they were issued; a copy, a check, plain files and back."""

import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import Problem, Problems, Reading, refuse, refused
from quoting.job.files import SHOP_FILE
from quoting.job.load import load_shop
from quoting.ledger import export, quotes, sound
from quoting.ledger import frozen as files
from quoting.ledger.quotes import Issued
from quoting.ledger.sound import synced_by
from quoting.ledger.states import BOUND, OWN_STOCK
from quoting.ledger.store import LEDGER_FILE, Connection, copied, copy_of, put_in_place, reading, writing
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
BACKUPS = "backups"
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


def lapsing_quotes(folder: Path, today: date) -> tuple[Lapse, ...]:
    """Quotes that lapse within a week, or did within the last."""
    return lapsing(every_piece(folder), today)


def is_in_hand(row: Row) -> bool:
    """True for a piece that work or money is still bound in, or whose money is not settled."""
    standing = row.piece.standing
    bound = standing.deal in BOUND and not standing.delivered
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


def backup(folder: Path, now: datetime, target: Path | None) -> tuple[Path, dict[str, int]]:
    """Copy the ledger into a folder under the name of the moment. Gives the copy and its rows by table.

    Raises Problems where the copy is not sound: then it is a copy of a damaged ledger, and stays for whoever repairs it.
    """
    into = target if target is not None else folder / BACKUPS
    if into.exists() and not into.is_dir():
        raise refused(
            "", "is a file, not a folder", "name a folder to write into", str(into), code="file_kind"
        )
    into.mkdir(parents=True, exist_ok=True)
    path = into / f"ledger {now:%Y-%m-%d %H%M%S}.sqlite"
    with reading(folder) as book:
        copied(book, path)
    with copy_of(path) as copy:
        wrong, rows = sound.faults(copy), sound.counts(copy)
    if wrong:
        wanted = "put an older copy in the ledger's place, if there is one"
        raise Problems(
            [Problem.of("", one, wanted, "file_damaged").at(path.name) for one in wrong], done=True
        )
    return path, rows


def check(folder: Path) -> tuple[list[str], dict[str, int]]:
    """What is wrong with the ledger, and its rows by table."""
    with reading(folder) as book:
        return sound.faults(book), sound.counts(book)


def export_all(folder: Path, out: Path, as_json: bool) -> list[Path]:
    """Write everything in the ledger as plain files."""
    with reading(folder) as book:
        files = {export.JSON_FILE: export.as_json(book)} if as_json else export.as_csv(book)
    inside = {name.partition("/")[2]: data for name, data in files.items() if "/" in name}
    flat = {name: data for name, data in files.items() if "/" not in name}
    origin = f"export of {folder.resolve()}"
    written = write_all(out / export.FILES, inside, origin, overwrite=False) if inside else []
    return [*written, *write_all(out, flat, origin, overwrite=False)]


def restore(folder: Path, source: Path, waiting: Callable[[], None]) -> dict[str, int]:
    """Fill a new ledger of a shop folder from exported files. Raises Problems where there is a ledger already."""
    if not (folder / SHOP_FILE).is_file():
        raise refused("", f"found no {SHOP_FILE}", Advice("give_shop"), str(folder), code="no_shop")
    if (folder / LEDGER_FILE).exists():
        raise refused(
            "",
            "is there already",
            "move it away first; nothing is written over",
            LEDGER_FILE,
            code="file_exists",
        )
    stale = [name for ending in ("-journal", "-wal") if (folder / (name := LEDGER_FILE + ending)).exists()]
    # It belongs to the ledger that was moved away, and would be played back into the new one.
    refuse(
        Problem.of("", "is left of another ledger", "move it away with that ledger", "file_exists").at(one)
        for one in stale
    )
    read = _read(source)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".quoting-") as made:
        with writing(Path(made), waiting) as book:
            if export.JSON_FILE in read:
                export.from_json(book, read[export.JSON_FILE])
            else:
                export.from_csv(book, read)
            refuse(
                Problem.of("", one, "export it again", "file_damaged").at(str(source))
                for one in sound.faults(book)
            )
            rows = sound.counts(book)
        put_in_place(Path(made, LEDGER_FILE), folder / LEDGER_FILE)
    return rows


def _read(source: Path) -> dict[str, bytes]:
    whole = source / export.JSON_FILE if source.is_dir() else source
    if whole.is_file():
        return {export.JSON_FILE: whole.read_bytes()}
    if not source.is_dir():
        raise refused(
            "",
            "found nothing there",
            "name the folder or file of an export",
            str(source),
            code="file_missing",
        )
    paths = [*source.glob("*.csv"), *source.glob(f"{export.FILES}/*")]
    return {path.relative_to(source).as_posix(): path.read_bytes() for path in paths if path.is_file()}
