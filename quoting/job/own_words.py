"""What trades say of themselves in words: `words.toml` of their folders, table by table."""

from __future__ import annotations

import tomllib
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from quoting.trades.registry import derived, trades

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from quoting.declaration import Trade

FILE = "words.toml"


@derived
def words_of(trade: str) -> Mapping[str, Any]:
    """The words of a trade; none of one that is not there."""
    one = trades().get(trade)
    return MappingProxyType(tomllib.loads(one.text(FILE)) if one is not None else {})


def said_by_all(table: str) -> Iterator[tuple[Trade, Any]]:
    """A table of every trade that has it, with the trade, in printed order."""
    for name, trade in trades().items():
        if table in words_of(name):
            yield trade, words_of(name)[table]
