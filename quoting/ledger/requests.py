"""What was asked under a key of whoever asked, and what came of it: asked once more, it is not done once more."""

import hashlib
import json
import sqlite3
from collections.abc import Sequence
from typing import Any, NamedTuple

from quoting.errors import refused

LONGEST_KEY = 200


class Request(NamedTuple):
    """A key, and the fingerprint of what is asked under it. Without a key nothing is remembered."""

    key: str
    contents: str


class Done(NamedTuple):
    """What came of a request: the id of an entry, or of a quote."""

    entry: int | None
    quote: int | None


def request(field: str, key: str, contents: Sequence[Any]) -> Request:
    """A request under a key, "" for none; `contents` are values as JSON knows them. Raises Problems of `field` for a key that is too long,
    or that nobody could read.
    """
    if len(key) > LONGEST_KEY or not key.isprintable() or key != key.strip():
        wanted = f"write at most {LONGEST_KEY} letters, digits and signs"
        code = "too_long" if len(key) > LONGEST_KEY else "unreadable"
        raise refused(field, f'found "{key[:40]}"', wanted, code=code, found=key[:40], most=LONGEST_KEY)
    text = json.dumps(contents, ensure_ascii=False, sort_keys=True)
    return Request(key, hashlib.sha256(text.encode()).hexdigest())


def done(connection: sqlite3.Connection, field: str, asked: Request) -> Done | None:
    """What came of a request; None where it is new. Raises Problems of `field` where another was made under its key."""
    sql = "SELECT contents, entry, quote FROM request WHERE key = ?"
    row = connection.execute(sql, (asked.key,)).fetchone() if asked.key else None
    if row is None:
        return None
    contents, entry, quote = row
    if contents != asked.contents:
        what = f"entry {entry}" if entry is not None else "an issued quote"
        found = f'found "{asked.key[:40]}" again, under which something else was asked ({what})'
        wanted = "take a new key for what is new"
        raise refused(field, found, wanted, code="key_used", key=asked.key, entry=entry, quote=quote)
    return Done(entry, quote)


def remember(
    connection: sqlite3.Connection, asked: Request, *, entry: int | None = None, quote: int | None = None
) -> None:
    """Keep what came of a request, in the transaction that did it."""
    if asked.key:
        values = (asked.key, asked.contents, entry, quote)
        connection.execute("INSERT INTO request (key, contents, entry, quote) VALUES (?, ?, ?, ?)", values)
