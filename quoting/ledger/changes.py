"""Change orders: an entry of the piece, with what it does to the contract and the plan that it froze."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.ledger.entries import Entry, add, in_minor, of_minor
from quoting.ledger.files import Kept, keep

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable
    from decimal import Decimal


class Change(NamedTuple):
    """What a change adds to the contract [money]: net, tax, the fees it costs; `asked` is the net price reckoned
    for it, whatever was agreed. `ruled` is "agreed" with the client, or "mine": the maker's own, at no charge.
    """

    position: int
    ruled: str
    net: Decimal
    tax: Decimal
    fees: Decimal
    asked: Decimal

    @property
    def total(self) -> Decimal:
        """What the client pays for it."""
        return self.net + self.tax


def add_change(connection: sqlite3.Connection, entry: Entry, change: Change, files: Iterable[Kept]) -> Entry:
    """Add a change with its plan."""
    kept = add(connection, entry)
    amounts = (in_minor(one, entry.digits) for one in (change.net, change.tax, change.fees, change.asked))
    connection.execute(
        "INSERT INTO change_order (entry, position, ruled, net, tax, fees, asked) VALUES (?, ?, ?, ?, ?, ?, ?)",
        (kept.id, change.position, change.ruled, *amounts),
    )
    keep(connection, "change_file", kept.id, files)
    return kept


def change_of(connection: sqlite3.Connection, entry: Entry) -> Change:
    """The change that an entry of kind "change" stands for."""
    row = connection.execute(
        "SELECT position, ruled, net, tax, fees, asked FROM change_order WHERE entry = ?", (entry.id,)
    ).fetchone()
    position, ruled, *amounts = row
    return Change(int(position), str(ruled), *(of_minor(int(one), entry.digits) for one in amounts))
