"""What is given in the place of a trade that no package brings any more: the lines that its quotes froze."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Parts, Trade

if TYPE_CHECKING:
    from quoting.trades.gone.record import Gone


def standing_in(trade: Trade) -> Trade:
    """A trade of which nothing can be written any more, and whose parts cost what they did; known by the words it declared."""
    return Trade(
        name=trade.name,
        home=__name__,
        record="",
        drivers=trade.drivers,
        groups=trade.groups,
        alike="own",
        several="equations:several",
        material=trade.material,
        outside=trade.outside,
    )


def parts_of(trade: str) -> Parts[Gone]:
    """The key of what stands in a job for parts of such a trade."""
    return Parts(trade)
