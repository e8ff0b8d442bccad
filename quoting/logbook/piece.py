"""A piece as the ledger knows it: its quotes, the plan and the contract in force, and everything that happened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from quoting.ledger import entries as book
from quoting.ledger import files, quotes
from quoting.ledger.changes import change_of
from quoting.ledger.states import standing_of
from quoting.pricing.stored import price_from

if TYPE_CHECKING:
    from datetime import date

    from quoting.ledger.changes import Change
    from quoting.ledger.entries import Entry
    from quoting.ledger.number import Number
    from quoting.ledger.quotes import Issued
    from quoting.ledger.states import Standing
    from quoting.ledger.store import Connection
    from quoting.pricing.record import Priced

RESULT = "result"
"""The frozen price of a piece; "result of NAME" for that of an option."""


class Ordered(NamedTuple):
    """A change order that holds, with its entry."""

    entry: Entry
    change: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece up to a day.

    `quote` is the issued quote that binds, or the newest. `sold` is its price as accepted (the piece as described, or
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
    return f"{RESULT} of {option}" if option else RESULT


def piece_of(connection: Connection, of: Issued, until: date | None = None) -> Piece:
    """The piece that an issued quote belongs to, as it stood at the end of a day, or stands now."""
    entries = book.of_piece(connection, of.piece_id)
    holding = book.standing(entries, until)
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
    found = files.kept(connection, table, owner, files.RESULT)
    return price_from(found[result_name(option)])
