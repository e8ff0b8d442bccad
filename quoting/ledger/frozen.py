"""What an issued quote froze: files, kept once by the fingerprint of their content, and records as plain JSON and back.

A record becomes `{"Word": {field: value}}`, an amount `{"decimal": "12.50"}`, a day `{"day": "2027-03-01"}`, a table
`{"table": {...}}` (`{"pairs": [...]}` where keys are no texts); a tuple is a list, and a list `{"list": [...]}`. The words are those of the table given, and not the names of
classes: a record may be renamed without a change in what is written.
"""

import hashlib
import json
import math
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from dataclasses import is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from quoting.by_trade import entries, made
from quoting.errors import refused

Records = Mapping[str, type[Any]]
"""Records by the word that is written for each."""


class Kept(NamedTuple):
    """A file: what it is for, its name, its bytes."""

    role: str
    name: str
    data: bytes


_KEYS = {"quote_file": "quote", "change_file": "entry"}
"""The tables of files, and the column that says whose they are."""

SOURCE, DOCUMENT, RESULT = "source", "document", "result"
"""Roles: what was read, what was written for people, what was reckoned."""


def keep(connection: sqlite3.Connection, table: str, owner: int, files: Iterable[Kept]) -> None:
    """Add the files of an issued quote (`quote_file`) or of a change (`change_file`)."""
    for file in files:
        sha256 = hashlib.sha256(file.data).hexdigest()
        connection.execute("INSERT INTO blob VALUES (?, ?) ON CONFLICT DO NOTHING", (sha256, file.data))
        connection.execute(f"INSERT INTO {table} VALUES (?, ?, ?, ?)", (owner, file.role, file.name, sha256))


def kept(connection: sqlite3.Connection, table: str, owner: int, role: str) -> dict[str, bytes]:
    """The files of one role, by name."""
    sql = f"SELECT name, bytes FROM {table} JOIN blob USING (sha256) WHERE {_KEYS[table]} = ? AND role = ? ORDER BY name"
    return {str(name): bytes(data) for name, data in connection.execute(sql, (owner, role))}


def owners(connection: sqlite3.Connection, table: str, role: str, data: bytes) -> set[int]:
    """The quotes or changes that keep a file of exactly this content."""
    sql = f"SELECT {_KEYS[table]} FROM {table} WHERE role = ? AND sha256 = ?"
    return {int(row[0]) for row in connection.execute(sql, (role, hashlib.sha256(data).hexdigest()))}


def frozen(record: object, records: Records) -> bytes:
    """A record as JSON in UTF-8. Raises TypeError for a value that has no place in one, or a record without a word."""
    words = {kind: word for word, kind in records.items()}
    data = _plain(record, words)
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def thawed(
    data: bytes,
    records: Records,
    more: Callable[[Any], Records] | None = None,
    today: Callable[[Any], Any] | None = None,
) -> Any:
    """The record that was frozen. `today` puts its JSON in the names of today, `more` gives, from all of it as JSON, records for words that the table lacks. Raises Problems
    where this version of the tool does not know its fields.
    """
    try:
        found = json.loads(data)
        found = found if today is None else today(found)
        return _made(found, records if more is None else {**more(found), **records})
    except (KeyError, TypeError, ValueError) as error:
        found = f"cannot be read: {type(error).__name__} {error}"
        raise refused(
            "frozen results",
            found,
            "read them with the version that wrote them",
            code="file_damaged",
            kind=type(error).__name__,
            reason=error,
        ) from None


def part_of(frozen: Any, field: str, records: Records) -> Any:
    """A field of a frozen record, from its JSON; nothing where it has none of that name."""
    (inner,) = frozen.values()
    return _made(inner.get(field, []), records)


def _plain(value: Any, words: Mapping[type[Any], str]) -> Any:
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else {"float": repr(float(value))}
    if isinstance(value, Decimal):
        return {"decimal": str(value)}
    if isinstance(value, date):
        return {"day": value.isoformat()}
    if isinstance(value, Mapping):
        if all(isinstance(name, str) for name in value):
            return {"table": {name: _plain(one, words) for name, one in value.items()}}
        return {"pairs": [[_plain(name, words), _plain(one, words)] for name, one in value.items()]}
    if type(value) in words:
        named = entries(value) if is_dataclass(value) else value._asdict().items()
        return {words[type(value)]: {name: _plain(one, words) for name, one in named}}
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return [_plain(one, words) for one in value]
    if isinstance(value, list):
        return {"list": [_plain(one, words) for one in value]}
    raise TypeError(f"{type(value).__name__} cannot be frozen")


def _made(value: Any, records: Records) -> Any:
    if isinstance(value, list):
        return tuple(_made(one, records) for one in value)
    if not isinstance(value, dict):
        return value
    ((kind, inner),) = value.items()
    if kind in _PLAIN:
        return _PLAIN[kind](inner)
    if kind == "table":
        return {name: _made(one, records) for name, one in inner.items()}
    if kind == "pairs":
        return {_made(name, records): _made(one, records) for name, one in inner}
    if kind == "list":
        return [_made(one, records) for one in inner]
    return made(records[kind], {name: _made(one, records) for name, one in inner.items()})


_PLAIN: dict[str, Callable[[str], object]] = {"decimal": Decimal, "day": date.fromisoformat, "float": float}
