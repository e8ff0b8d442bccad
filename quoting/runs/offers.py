"""Answers that are offered where a job is filled in: timbers, metals, fibres, and what the shop and its price book name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Problems
from quoting.job.load import load_shop, price_book, shop_folder
from quoting.reading.tables import tables

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from quoting.reading.tables import Tables


def shop_offers(folder: Path) -> dict[str, list[str]]:
    """Answers by the list they stand in, for the jobs of a shop. Raises Problems where its shop file is wrong."""
    brief = load_shop(folder)
    return _of_tables(brief.tables) | {
        "prices": sorted({row.item for rows in price_book(folder).values() for row in rows}),
        "resin": sorted(brief.shop.resin),
        "machine": sorted(brief.shop.machine),
    }


def offers_near(job: Path, tell: Callable[[str], None]) -> dict[str, list[str]]:
    """Answers for a job of this path: of the shop that it belongs to; of the reference tables alone where there is none, or a wrong
    one, which is told.
    """
    try:
        return shop_offers(shop_folder(job, None))
    except Problems as wrong:
        why = wrong.problems[0]
        place = f"{why.file}:{why.line}: " if why.line else ""
        tell(f"the lists to choose from lack what a shop and its price book name: {place}{why.found}")
        return _of_tables(tables())


def _of_tables(found: Tables) -> dict[str, list[str]]:
    return {
        "species": sorted(found.species),
        "fibres": sorted(found.fibres),
        "metals": sorted(found.metals),
    }
