"""Small ledgers for tests, made through the ledger's own functions."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.ledger import entries, quotes
from quoting.ledger.entries import Change, Entry, add_change
from quoting.ledger.frozen import DOCUMENT, RESULT, SOURCE, Kept
from quoting.ledger.quotes import Face
from quoting.ledger.requests import remember, request
from quoting.ledger.store import LEDGER_FILE, writing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from quoting.ledger.quotes import Issued
    from quoting.ledger.store import Connection

DAY = date(2027, 3, 1)


def quiet() -> None:
    """Nobody is told of a wait."""


def issue(book: Connection, words: str = "bench", documents: Iterable[bytes] = (b"a page",)) -> Issued:
    """A quote of the next number with its files and its state, as issuing writes it."""
    face = Face(DAY, DAY, words, "", "commission", "USD", 2, Decimal("4462.60"))
    files = [Kept(SOURCE, "jobs/job.toml", words.encode()), Kept(RESULT, "result.json", b'{"a": 1}')]
    files += [Kept(DOCUMENT, f"{place}.pdf", data) for place, data in enumerate(documents)]
    issued = quotes.add(book, quotes.next_number(book, DAY.year), face, {"engine": "1"}, files)
    state = Entry(
        kind="state", day=DAY, piece=issued.piece_id, quote=issued.id, said="awaiting answer", words=words
    )
    entries.add(book, state)
    return issued


def note(words: str, piece: int | None = None) -> Entry:
    """Something to remember."""
    return Entry(kind="note", day=DAY, piece=piece, words=words)


def filled(folder: Path) -> Path:
    """A ledger that has a row of every kind in every table; gives its file."""
    with writing(folder, quiet) as book:
        issued = issue(book)
        issue(book, "stool", [b"another page", bytes(range(256))])
        paid = Entry(
            kind="paid", day=DAY, piece=issued.piece_id, money=Decimal("-72.50"), amount=2.5, unit="L"
        )
        wrong = entries.add(book, paid)
        entries.take_back(book, wrong.id, issued.piece_id, DAY, "typing error")
        change = Entry(kind="change", day=DAY, piece=issued.piece_id, quote=issued.id, words="longer")
        amounts = (Decimal("120.00"), Decimal("9.00"), Decimal("0.00"), Decimal("118.75"))
        kept = [Kept(SOURCE, "jobs/job.toml", b"longer"), Kept(RESULT, "result.json", b"{}")]
        add_change(book, change, Change(1, "agreed", *amounts), kept)
        entries.add(book, note("=SUM(A1) said the client"))
        entries.add(
            book, Entry(kind="hours", day=DAY, piece=issued.piece_id, hours=0.25, row_key="sheet:1:0")
        )
        remember(book, request("key", "a tap", ["hours"]), entry=wrong.id)
        remember(book, request("token", "a confirmation", ["bench"]), quote=issued.id)
    return folder / LEDGER_FILE


def dumped(path: Path) -> list[str]:
    """Everything in a database file, as SQL."""
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def dump_of(book: Connection) -> list[str]:
    """Everything in an open ledger, as SQL."""
    return list(book.iterdump())


def pages(seed: str, size: int) -> bytes:
    """As many bytes as that, other ones for every seed."""
    return hashlib.shake_128(seed.encode()).digest(size)
