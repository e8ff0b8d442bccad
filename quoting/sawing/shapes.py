"""Shaped parts of a plan: what of the blanks that are cut for them is thrown away."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.inputs.outline import SHAPED
from quoting.takeoff.copies import several

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.brief import Brief


class Shape(NamedTuple):
    """A shaped part by its path, and the share of its blanks that is thrown away."""

    path: str
    part: str
    left: float


def shapes(brief: Brief) -> Iterator[Shape]:
    """Every shaped part that is planned; a blank of two shapes counts both of them."""
    blanks: dict[str, float] = {}
    for plan in brief.plans:
        for stock in plan.stocks:
            for piece in stock.pieces:
                area = piece.length_m * piece.width_m * stock.number
                blanks[piece.path] = blanks.get(piece.path, 0.0) + area
    for trade in SHAPED:
        for given in getattr(brief.job, trade):
            path = f"{trade}.{given.id}"
            if given.shape_area is not None and path in blanks:
                part, _ = several(trade, given, brief.job.piece.quantity)
                number = part.quantity * getattr(part, "layers", 1)
                yield Shape(path, part.part, 1 - number * part.shape_area / blanks[path])
