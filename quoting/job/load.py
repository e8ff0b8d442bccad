"""From files to records, where all must be right: of a job with its shop, of a shop file alone."""

import copy
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from quoting.advice import Advice
from quoting.errors import refused, right
from quoting.job.brief import Brief
from quoting.job.files import SHOP_FILE, Given, files_of, price_rows
from quoting.job.job import Job, Piece
from quoting.job.read import read, shop_alone, tables_of
from quoting.job.stock import Price
from quoting.reading.sources import read_toml
from quoting.trades.registry import missing


def load(job: Given, shop: Path | None = None, settings: Sequence[str] = (), option: str = "") -> Brief:
    """Read a job with its shop and price file. Raises Problems with everything that is wrong.

    `settings` are `path=value` texts that stand in for values of the files; `option` names an
    option of the job that is carried out first.
    """
    found = read(files_of(job, shop), settings, option)
    return right(found.brief, found.problems)


def _without_gone(raw: dict[str, Any]) -> dict[str, Any]:
    """Raw tables of a shop file without what only trades read that are gone; a standard time stays for the others it applies to."""
    kept = {name: rows for name, rows in copy.deepcopy(raw).items() if missing(name) is None}
    standards = kept.get("standard")
    for name, one in list(standards.items()) if isinstance(standards, dict) else ():
        if isinstance(one, dict) and isinstance(of := one.get("applies_to"), list):
            one["applies_to"] = [trade for trade in of if missing(str(trade)) is None]
            if of and not one["applies_to"]:
                del kept["standard"][name]
    return kept


def load_shop(folder: Path) -> Brief:
    """The shop file alone, for what needs no job; what trades read in it that cannot be reckoned any more is left aside. Raises Problems
    with everything that is wrong.
    """
    if not (folder / SHOP_FILE).is_file():
        wanted = Advice("name_shop")
        raise refused("", f"found no {SHOP_FILE} in {folder}", wanted, code="no_shop", folder=folder)
    source = read_toml(folder / SHOP_FILE)
    source = replace(source, raw=_without_gone(source.raw))
    shop = right(*shop_alone(source))
    job = Job(format=1, piece=Piece(title="no job"))
    return Brief(job, shop, {}, tables_of(shop), folder, (source, source, source), ({}, source.raw))


def price_file(folder: Path) -> dict[str, tuple[Price, ...]]:
    """The rows of a shop's price file that can be read, by item."""
    return price_rows(folder, [])[0]
