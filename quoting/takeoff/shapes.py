"""Shaped parts: it is the rectangle around them that is bought and cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.numbers import TOLERANCE
from quoting.takeoff.record import Doubt
from quoting.values import basis

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.job.shop import Shop
    from quoting.job.trades import Hardwood, Sheet
    from quoting.reading.tables import Tables


def larger_shape(path: str, part: Hardwood | Sheet) -> Iterator[Problem]:
    """A shape lies within its rectangle."""
    if part.shape_area is not None and part.shape_area > part.length * part.width * (1 + TOLERANCE):
        yield Problem(
            f"{path}.shape_area", "found more than length x width", "write the area of the finished outline"
        )


def scrap(path: str, part: Hardwood | Sheet, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """A shape that leaves more of its rectangle than the shop likes; where a cut plan has blanks for it, they are judged."""
    if part.shape_area is not None and path not in tables.yields:
        yield from left_over(path, 1 - part.shape_area / (part.length * part.width), shop)


def left_over(path: str, left: float, shop: Shop) -> Iterator[Doubt]:
    """A share of its blanks that a shape leaves, where the shop likes no more."""
    if left > shop.warnings.scrap_share:
        words = "the shape leaves {left:share} of its blank (limit {limit:share})"
        yield Doubt("scrap", f"{path}.shape_area", basis(words, left=left, limit=shop.warnings.scrap_share))
