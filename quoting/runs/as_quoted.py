"""The shop of a day past: the files that a quote froze, with what has come new to the shop since."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from quoting.job.load import PRICE_FILE, SHOP_FILE
from quoting.job.wording import WORDING
from quoting.reading.sources import read_text
from quoting.reading.starters import NAMED_FAMILIES
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FAMILIES = tuple(name for name in NAMED_FAMILIES if name not in ("fee", "sundries", "cause"))
"""Tables of the shop file that a change may newly call for; none of them moves a price that does not name it."""


def as_quoted(into: Path, kept: Mapping[str, bytes], folder: Path) -> Path:
    """Write shop file, price book and words of a quote into a folder. What has a name that the quote did not know is taken
    from the shop as it is now: resins, tariffs, machines, suppliers, species, and items of the price book.
    """
    shop, prices = folder / SHOP_FILE, folder / PRICE_FILE
    then = kept[SHOP_FILE].decode()
    into.joinpath(SHOP_FILE).write_text(
        with_new_tables(then, read_text(shop)) if shop.is_file() else then, encoding="utf-8"
    )
    book = kept[PRICE_FILE].decode()
    into.joinpath(PRICE_FILE).write_text(
        with_new_items(book, read_text(prices)) if prices.is_file() else book, encoding="utf-8"
    )
    if WORDING in kept:
        into.joinpath(WORDING).write_bytes(kept[WORDING])
    return into


def with_new_items(then: str, now: str) -> str:
    """A price book, with the rows of items that only the later one has."""
    known = {_item(line) for line in then.splitlines()}
    fresh = [line for line in now.splitlines()[2:] if line.strip() and _item(line) not in known]
    return "\n".join([then.rstrip("\n"), *fresh]) + "\n"


def _item(line: str) -> str:
    cells = next(csv.reader(io.StringIO(line)), [""])
    return key(cells[0]) if cells else ""


def with_new_tables(then: str, now: str) -> str:
    """A shop file, with the named tables that only the later one has."""
    import tomlkit

    old: Any = tomlkit.parse(then)
    new: Any = tomlkit.parse(now)
    for family in FAMILIES:
        known = old.setdefault(family, tomlkit.table(is_super_table=True)) if family in new else {}
        for name, table in new.get(family, {}).items():
            if name not in known:
                table.pop("waste", None)  # of a species: it would move a price that was quoted without it
                known[name] = table
    return tomlkit.dumps(old)
