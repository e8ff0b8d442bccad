"""Prices that were paid, offered to the price file: a receipt in the log is the newest price there is."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quoting import measures
from quoting.costing.rates import purchase_factor
from quoting.job.files import PRICE_FILE
from quoting.job.load import load_shop
from quoting.job.stock import Price, read_prices
from quoting.ledger import quotes
from quoting.ledger.entries import Entry
from quoting.ledger.store import reading
from quoting.logbook.piece import Piece, piece_of
from quoting.logbook.plan_lines import Lines
from quoting.measures.units import Unit
from quoting.money import exact, minor_digits
from quoting.reading.sources import Source, read_plain
from quoting.runs.price_file import NewPrice, PricesEdited, change_prices
from quoting.values import key

FINE = 4  # digits that count, of a price below one unit of money


class Offer(NamedTuple):
    """A row of the price file by its line, what it says a unit costs, and what was paid for one since [money], as the file writes prices;
    with the day, the piece, the receipt, and the supplier, where they are known.
    """

    line: int
    item: str
    unit: str
    old: float
    new: Decimal
    day: date
    piece: str
    receipt: str
    supplier: str


class Offers(NamedTuple):
    """Prices paid that the price file lacks, by item; the file as it was read for them, and the currency."""

    offers: tuple[Offer, ...]
    shown: Source
    currency: str


def prices_paid(folder: Path) -> Offers:
    """The newest price paid of every item with one price in the file, where it is not what stands there, and not older. Things sold by the
    pack stand with several prices, and are left to the maker. Only what was logged with money and quantity tells a price.
    """
    currency = load_shop(folder).shop.shop.currency
    shown = read_plain(folder / PRICE_FILE)
    book, _ = read_prices(shown.text)
    newest: dict[str, tuple[tuple[date, int], Offer]] = {}
    with reading(folder) as ledger:
        for one in {one.piece_id: one for one in quotes.every(ledger)}.values():
            piece = piece_of(ledger, one)
            if piece.plan.currency != currency:
                continue
            for entry, row in _bought(piece, book):
                offer = _offer(piece, entry, row, currency)
                last = newest.get(key(row.item))
                if offer is not None and (last is None or last[0] <= (entry.day, entry.id)):
                    newest[key(row.item)] = (entry.day, entry.id), offer
    found = (offer for _, offer in newest.values() if offer.new != exact_price(offer.old, currency))
    return Offers(tuple(sorted(found, key=lambda one: one.line)), shown, currency)


def take_over(folder: Path, offers: Sequence[Offer], shown: Source) -> PricesEdited:
    """Write prices that were said yes to into the price file, with the days on which they were paid; all or none."""
    return change_prices(folder, [NewPrice(one.line, one.new, one.day) for one in offers], shown)


def exact_price(value: float, currency: str) -> Decimal:
    """A price of one unit [money] in minor digits; below one unit of money to as many digits as count."""
    if value >= 1:
        return exact(value, minor_digits(currency))
    return Decimal(f"{value:.{FINE}g}")


def _bought(piece: Piece, book: dict[str, tuple[Price, ...]]) -> Iterator[tuple[Entry, Price]]:
    """What was paid with a quantity for an item that the price file has one row of."""
    lines = Lines(piece.plan, piece.former)
    for entry in piece.holding:
        if entry.kind != "paid" or not entry.amount or entry.money is None:
            continue
        items = {key(line.item) for line in lines.filled_by(entry) if line.material}
        rows = book.get(items.pop(), ()) if len(items) == 1 else ()
        if len(rows) == 1:
            yield entry, rows[0]


def _offer(piece: Piece, entry: Entry, row: Price, currency: str) -> Offer | None:
    """What was paid for one unit of a row; None where the row is newer, or counts in another way."""
    unit = measures.unit(entry.unit) if entry.unit and entry.unit != row.unit.name else row.unit
    if unit.dimension != row.unit.dimension or (row.dated is not None and entry.day < row.dated):
        return None
    paid = (
        float(entry.money or 0)
        / _amount(entry.amount or 0.0, unit, row.unit)
        / purchase_factor(piece.plan.shop)
    )
    new = exact_price(paid, currency)
    return Offer(
        row.line,
        row.item,
        row.unit.name,
        row.price,
        new,
        entry.day,
        str(piece.number),
        entry.receipt,
        row.supplier,
    )


def _amount(amount: float, unit: Unit, row: Unit) -> float:
    """An amount of one unit in another of its kind."""
    return amount * unit.factor / row.factor
