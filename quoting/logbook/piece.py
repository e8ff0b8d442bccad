"""A piece as the ledger knows it: its quotes, the plan in force, everything that happened, and what it brings in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quoting.ledger import entries as book
from quoting.ledger import frozen, quotes
from quoting.ledger.entries import Change, Entry, change_of
from quoting.ledger.quotes import Issued, Number
from quoting.ledger.states import AWAITING, BOUND, CANCELLED, OWN_STOCK, RETURNED, SOLD, Standing, standing_of
from quoting.ledger.store import Connection
from quoting.money import exact
from quoting.pricing.chain import fees_of
from quoting.pricing.record import Priced
from quoting.pricing.stored import price_from


class Ordered(NamedTuple):
    """A change order that holds, with its entry."""

    entry: Entry
    change: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece up to a day.

    `quote` is the issued quote that binds, or the newest. `sold` is its price as agreed (the piece as described, or
    the option chosen), `plan` the price record that work is done by: `sold`, or that of the last change; `former` are those
    before it.
    """

    quotes: tuple[Issued, ...]
    quote: Issued
    sold: Priced
    plan: Priced
    former: tuple[Priced, ...]
    changes: tuple[Ordered, ...]
    entries: tuple[Entry, ...]
    holding: tuple[Entry, ...]
    standing: Standing

    @property
    def number(self) -> Number:
        """The number of the quote that binds."""
        return self.quote.number


def result_name(option: str = "") -> str:
    """The name under which the frozen price of the piece, or of an option of it, is kept."""
    return f"{frozen.RESULT} of {option}" if option else frozen.RESULT


def piece_of(connection: Connection, of: Issued, until: date | None = None) -> Piece:
    """The piece that an issued quote belongs to, as it stood at the end of a day, or stands now."""
    entries = book.of_piece(connection, of.piece_id)
    holding = book.holding(entries, until)
    standing = standing_of(holding)
    everything = quotes.quotes_of(connection, of.number)
    revisions = [one for one in everything if until is None or one.face.day <= until] or everything[:1]
    binding = next((one for one in revisions if one.id == standing.quote), revisions[-1])
    option = standing.entry.item if standing.entry is not None else ""
    sold = price_of(connection, "quote_file", binding.id, option)
    changes = tuple(
        Ordered(entry, change_of(connection, entry))
        for entry in holding
        if entry.kind == "change" and entry.quote == binding.id
    )
    plans = [sold, *(price_of(connection, "change_file", one.entry.id) for one in changes)]
    return Piece(
        quotes=tuple(revisions),
        quote=binding,
        sold=sold,
        plan=plans[-1],
        former=tuple(plans[:-1]),
        changes=changes,
        entries=tuple(entries),
        holding=tuple(holding),
        standing=standing,
    )


def price_of(connection: Connection, table: str, owner: int, option: str = "") -> Priced:
    """A frozen price, read as it was stored."""
    found = frozen.kept(connection, table, owner, frozen.RESULT)
    return price_from(found[result_name(option)])


class Contract(NamedTuple):
    """Money that a piece brings: net, its tax, and the fees that go off the net. `firm` where somebody owes it."""

    net: Decimal
    tax: Decimal
    fees: Decimal
    firm: bool

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax

    @property
    def left(self) -> Decimal:
        """What is left of it for cost and profit [money]."""
        return self.net - self.fees

    def margin(self, cost: float) -> float | None:
        """Share of the net price that a cost leaves after fees; None where nothing comes in."""
        return (float(self.left) - cost) / float(self.net) if self.net else None

    def plus(self, more: Iterable[Contract | Change]) -> Contract:
        """The same with further money in it."""
        found = self
        for one in more:
            found = found._replace(
                net=found.net + one.net, tax=found.tax + one.tax, fees=found.fees + one.fees
            )
        return found


def contract_of(piece: Piece) -> Contract:
    """The quote with its agreed changes, or the price of a piece that was sold; and what was kept of earlier orders.

    A quote that awaits its answer and a piece for sale stand with the price asked. Nothing for what is refused, withdrawn, written off.
    """
    standing, kept = piece.standing, kept_of(piece)
    changes = [one.change for one in counted_changes(piece)]
    money = standing.entry.money if standing.entry is not None else None
    if standing.deal == SOLD and money is not None:
        now = at_total(piece.sold, money, firm=True).plus(changes)
    elif standing.deal in (*BOUND, *OWN_STOCK, AWAITING):
        chain = piece.sold.chain
        now = Contract(chain.net, chain.tax, chain.fee_total, standing.deal in BOUND).plus(changes)
    else:
        now = at_total(piece.sold, Decimal(0), firm=standing.deal == CANCELLED)
    return now.plus([at_total(piece.sold, kept, now.firm)])


def kept_of(piece: Piece) -> Decimal:
    """What was kept of orders that were cancelled and of pieces that came back [money]."""
    ends = [one for one in piece.holding if one.kind == "state" and one.said in (CANCELLED, RETURNED)]
    return sum((one.money or Decimal(0) for one in ends), Decimal(0))


def counted_changes(piece: Piece) -> list[Ordered]:
    """Changes whose price comes on top of the contract: those before a sale are in its price, and nobody owes those of a
    piece that nobody ordered.
    """
    if piece.standing.deal not in BOUND:
        return []
    made = piece.standing.entry if piece.standing.deal == SOLD else None
    after = made.id if made is not None else 0
    return [one for one in piece.changes if one.entry.id >= after]


def at_total(sold: Priced, total: Decimal, firm: bool) -> Contract:
    """A contract at another total: tax in the proportion of the quote, fees by the rules of the quote."""
    chain, digits = sold.chain, sold.digits
    net = exact(total * chain.net / chain.total, digits) if chain.total else total
    fees = fees_of(net, total, sold.rules).values() if total else ()
    return Contract(net, total - net, sum(fees, exact(0, digits)), firm)
