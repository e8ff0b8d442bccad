"""The buying list over several pieces: of job files, and of the ledger with what its logs tell."""

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quoting.errors import Problem, Problems, refuse, refused
from quoting.job.load import load_shop, price_file
from quoting.ledger import quotes
from quoting.ledger.export import Kind, cell
from quoting.ledger.quotes import Number
from quoting.ledger.store import reading
from quoting.logbook.buying import ORDER, Errand, Wanted, errands, wanted_of_piece, wanted_of_plan
from quoting.logbook.piece import piece_of
from quoting.money import minor_digits
from quoting.runs.finding import job_file, names_a_quote
from quoting.runs.pricing import check, priced_alone
from quoting.runs.shops import every_piece
from quoting.written import write_all

FILE = "buying.csv"
COLUMNS = ("supplier", "item", "needed", "unit", "packs", "amount", "currency", "lead days", "for")
WORDS = Kind("TEXT", nullable=False)


class BuyingList(NamedTuple):
    """A buying list for pieces, by supplier. Files written on wish."""

    pieces: tuple[str, ...]
    currency: str
    errands: tuple[Errand, ...]
    written: list[Path]

    @property
    def amount(self) -> Decimal:
        """What is paid in all [money]."""
        return sum((one.amount for one in self.errands), Decimal(0))

    @property
    def saved(self) -> Decimal:
        """What the packs of one errand cost less than those of an errand for each piece, carriage left aside [money]."""
        items = [item for one in self.errands for item in one.items]
        apart = sum((share.alone for item in items for share in item.shares), Decimal(0))
        return apart - sum((item.amount for item in items), Decimal(0))


def buying(folder: Path, today: date, names: Sequence[str], out: Path | None, overwrite: bool) -> BuyingList:
    """The list for pieces of a shop: `names` are job files, with or without their ending, and numbers of its ledger. Without any, for
    every piece that is ordered and not handed over. Written as CSV where a folder is named. Raises Problems with everything that is
    wrong in what was named.
    """
    found = list(_named(folder, today, names) if names else _ordered(folder))
    currencies = dict.fromkeys(currency for _, currency, _ in found)
    if len(currencies) > 1:
        several = f"found prices in {' and '.join(currencies)}"
        listed = list(currencies)
        raise refused("", several, "name pieces of one currency", code="conflict", currencies=listed)
    shop = load_shop(folder).shop
    currency = next(iter(currencies), shop.shop.currency)
    wanted = [one for _, _, rows in found for one in rows]
    errand = errands(wanted, price_file(folder), shop, minor_digits(currency))
    done = BuyingList(tuple(name for name, _, _ in found), currency, errand, [])
    if out is None:
        return done
    origin = f"buying list of {folder.resolve()}"
    return done._replace(written=write_all(out, {FILE: _csv(done).encode()}, origin, overwrite))


def _ordered(folder: Path) -> Iterator[tuple[str, str, list[Wanted]]]:
    """Name, currency and wants of every piece that somebody ordered."""
    for piece in every_piece(folder):
        if piece.standing.ordered:
            yield str(piece.number), piece.plan.currency, list(wanted_of_piece(piece))


def _named(folder: Path, today: date, names: Sequence[str]) -> Iterator[tuple[str, str, list[Wanted]]]:
    """The same of those that are named, each once, however often it is."""
    problems: list[Problem] = []
    there: set[Number | Path] = set()
    for name in names:
        try:
            if names_a_quote(name):
                with reading(folder) as book:
                    piece = piece_of(book, quotes.asked(book, name))
                meant: Number | Path = piece.number.piece
                found = str(piece.number), piece.plan.currency, list(wanted_of_piece(piece))
            else:
                job = job_file(Path(name), folder)
                plan, meant = priced_alone(check(job, folder, today)), job.resolve()
                found = job.stem, plan.currency, list(wanted_of_plan(job.stem, plan))
        except Problems as wrong:
            problems += wrong.problems
            continue
        if meant not in there:
            there.add(meant)
            yield found
    refuse(problems)


def _csv(found: BuyingList) -> str:
    """The list as rows, by supplier; no cell of it is a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for errand in found.errands:
        for one in errand.items:
            whose = "; ".join(f"{share.name}: {share.left:.4g}" for share in one.shares if share.left)
            said = (errand.supplier, one.item, f"{one.needed:.4g}", one.unit, one.packs, str(one.amount))
            writer.writerow(
                cell(text, WORDS) for text in (*said, found.currency, f"{one.lead_days:g}", whose)
            )
        if errand.carriage:
            carriage = ("carriage", "1", ORDER, "", str(errand.carriage), found.currency, "", "")
            writer.writerow(cell(text, WORDS) for text in (errand.supplier, *carriage))
    return out.getvalue()
