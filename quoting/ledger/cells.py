"""Values of the ledger as cells of a table that no spreadsheet runs, and as JSON; and back, without loss."""

from __future__ import annotations

import base64
from typing import NamedTuple

RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
"""Beginnings of a text that a spreadsheet may run; and the sign that keeps it from that."""


class Kind(NamedTuple):
    """Of a column: its type, and whether it may be NULL."""

    type: str
    nullable: bool


def cell(value: object, kind: Kind) -> str:
    """A value as the text of a cell."""
    if value is None:
        return ""
    if value == "" and kind.nullable:
        return "'"
    if isinstance(value, float):
        return repr(value)
    return "'" + value if isinstance(value, str) and value.startswith(RISKY) else str(value)


def value_of(text: str, kind: Kind) -> object:
    """A cell by the kind of its column."""
    if not text and (kind.nullable or kind.type != "TEXT"):
        return None
    if kind.type in ("INTEGER", "REAL"):
        return int(text) if kind.type == "INTEGER" else float(text)
    return text.removeprefix("'")


def in_base64(value: object) -> dict[str, str]:
    """Bytes as JSON has them. Raises TypeError for anything else."""
    if not isinstance(value, bytes):
        raise TypeError(type(value).__name__)
    return {"base64": base64.b64encode(value).decode()}


def from_base64(value: object) -> object:
    """A value of JSON, bytes where it holds them."""
    return base64.b64decode(value["base64"], validate=True) if isinstance(value, dict) else value
