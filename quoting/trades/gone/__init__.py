"""What is given in the place of a trade that no package brings any more: the lines that its quotes froze."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Parts, Trade
from quoting.takeoff.needs import TakeOff
from quoting.values import Pick

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.gone.record import Gone


def standing_in(trade: Trade) -> Trade:
    """A trade of which nothing can be written any more, and whose parts cost what they did; known by the words it declared."""
    return Trade(
        name=trade.name,
        home="quoting.trades",
        record="",
        take_off="gone:take_off",
        drivers=trade.drivers,
        groups=trade.groups,
        sections=trade.sections,
        alike="own",
        several="gone:several",
        material=trade.material,
        outside=trade.outside,
    )


def parts_of(trade: str) -> Parts[Gone]:
    """The key of what stands in a job for parts of such a trade."""
    return Parts(trade)


def take_off(part: Gone, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """The lines of a quote. Its standard operations are among them, so that it drives none; what it weighs is not known."""
    return TakeOff(needs=part.needs)


def several(part: Gone, copies: int) -> Gone:  # noqa: ARG001
    """The same: frozen lines are those of all pieces."""
    return part
