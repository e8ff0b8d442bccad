"""Entries: what happened, one row each, money in whole minor units; a change order with what it does to the contract.

A wrong entry is taken back by a counter-entry.
"""

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quoting.advice import Advice
from quoting.errors import refused
from quoting.ledger.frozen import Kept, keep
from quoting.ledger.store import moment, records
from quoting.ledger.words import as_told, to_store


def in_minor(amount: Decimal, digits: int) -> int:
    """Whole minor units of an exact amount. Raises ValueError where it is finer than that."""
    units = amount.scaleb(digits)
    if units != units.to_integral_value():
        raise ValueError(f"{amount} is finer than {digits} minor digits")
    return int(units)


def of_minor(units: int, digits: int) -> Decimal:
    """The exact amount of so many minor units."""
    return Decimal(units).scaleb(-digits)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that happened to a piece, or in the shop where `piece` is None.

    `amount` counts `unit`: hours, the unit of a line, mm, a distance. `hours` belong to a setback or a trip. `line`, or
    `task`, `part`, `stage` and `item`, say which lines of the plan it fills; `said` is the amount as it was
    written. `counters` is the id of the entry that a void takes back. `about` marks a total for past days.
    """

    kind: str
    day: date
    piece: int | None = None
    quote: int | None = None
    line: str = ""
    task: str = ""
    part: str = ""
    stage: str = ""
    item: str = ""
    who: str = ""
    round: int | None = None
    plies: int | None = None
    amount: float | None = None
    unit: str = ""
    hours: float | None = None
    money: Decimal | None = None
    digits: int = 2
    receipt: str = ""
    said: str = ""
    words: str = ""
    about: bool = False
    counters: int | None = None
    source: str = ""
    row_key: str | None = None
    id: int = 0
    at: str = ""

    @property
    def hours_worked(self) -> float:
        """Hours of people [h]: those of the work itself, or what a setback or a trip took."""
        return (self.amount if self.kind == "hours" else self.hours) or 0.0


STEPS = ("state", "change")
"""Kinds of entries that rest on one another."""

_NAMES = tuple(field.name for field in fields(Entry))
_WRITTEN = tuple(name for name in _NAMES if name != "id")


def add(connection: sqlite3.Connection, entry: Entry) -> Entry:
    """Add an entry and give it its number."""
    kept = replace(entry, at=moment())
    kind, said = to_store(kept.kind, kept.said)
    row = replace(kept, kind=kind, said=said)
    values = [_stored(row, name) for name in _WRITTEN]
    marks = ", ".join("?" * len(values))
    done = connection.execute(f"INSERT INTO entry ({', '.join(_WRITTEN)}) VALUES ({marks})", values)
    return replace(kept, id=int(done.lastrowid or 0))


def take_back(
    connection: sqlite3.Connection, id: int, piece: int | None, day: date, words: str, source: str = ""
) -> Entry:
    """Add the counter-entry of an entry of this piece. Raises Problems where it cannot be taken back."""
    there = of_piece(connection, piece)
    wrong = next((one for one in there if one.id == id), None)
    if wrong is None:
        raise refused(
            "void", f"found no entry {id} of this piece", Advice("see_entries"), code="unknown_name", id=id
        )
    if wrong.kind == "void":
        raise refused(
            "void", f"entry {id} takes back another", "log again what is to hold", code="state", id=id
        )
    if any(one.counters == id for one in there):
        raise refused(
            "void", f"entry {id} was taken back already", Advice("see_entries"), code="state", id=id
        )
    if wrong.kind in STEPS:
        _refuse_under_others(wrong, holding(there))
    counter = Entry(
        kind="void",
        day=day,
        piece=piece,
        quote=wrong.quote,
        words=words,
        counters=id,
        digits=wrong.digits,
        source=source,
    )
    return add(connection, counter)


def _refuse_under_others(wrong: Entry, holds: Sequence[Entry]) -> None:
    """States and changes rest on those before them: they are taken back from the last one, and the first of a quote
    came with its number.
    """
    steps = [one for one in holds if one.kind in STEPS]
    last = steps[-1]
    if last.id != wrong.id:
        wanted = f"take that back first: void {last.id}"
        raise refused(
            "void",
            f"entry {last.id} ({last.kind} {last.said}) rests on {wrong.id}",
            wanted,
            code="state",
            id=last.id,
            kind=last.kind,
            found=last.said,
        )
    if next(one for one in steps if one.quote == wrong.quote).id == wrong.id:
        found = f"entry {wrong.id} came with the number of the quote"
        raise refused("void", found, Advice("mark_withdrawn"), code="state", id=wrong.id)


def of_piece(connection: sqlite3.Connection, piece: int | None) -> list[Entry]:
    """Every entry of a piece (of the shop where it is None), counter-entries too, in order of entering."""
    sql = f"SELECT {', '.join(_NAMES)} FROM entry WHERE piece IS ? ORDER BY id"
    return records(connection, sql, (piece,), _entry)


def rows_there(connection: sqlite3.Connection, keys: Sequence[str]) -> dict[str, str]:
    """Of the keys of rows of a file those that are in the ledger, with the source they came from."""
    sql = "SELECT source FROM entry WHERE row_key = ?"
    found = ((key, connection.execute(sql, (key,)).fetchone()) for key in keys)
    return {key: str(row[0]) for key, row in found if row is not None}


def holding(entries: Sequence[Entry], until: date | None = None) -> list[Entry]:
    """Entries that hold: without those taken back and their counters, up to a day, in order of days.

    Of a day in the past it says what is known of it now.
    """
    gone = {entry.counters for entry in entries}
    kept = [entry for entry in entries if entry.kind != "void" and entry.id not in gone]
    known = (one for one in kept if until is None or one.day <= until)
    return sorted(known, key=lambda one: (one.day, one.id))


def _stored(entry: Entry, name: str) -> object:
    value = getattr(entry, name)
    if name == "money" and value is not None:
        return in_minor(value, entry.digits)
    return value.isoformat() if isinstance(value, date) else int(value) if isinstance(value, bool) else value


def _entry(row: tuple[object, ...]) -> Entry:
    values = dict(zip(_NAMES, row, strict=True))
    money, digits = values["money"], values["digits"]
    values["day"] = date.fromisoformat(str(values["day"]))
    values["about"] = bool(values["about"])
    values["kind"], values["said"] = as_told(str(values["kind"]), str(values["said"]))
    values["money"] = of_minor(money, digits) if isinstance(money, int) and isinstance(digits, int) else None
    return Entry(**values)  # type: ignore[arg-type]


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
    sql = "SELECT position, ruled, net, tax, fees, asked FROM change_order WHERE entry = ?"
    position, ruled, *amounts = connection.execute(sql, (entry.id,)).fetchone()
    return Change(int(position), str(ruled), *(of_minor(int(one), entry.digits) for one in amounts))
