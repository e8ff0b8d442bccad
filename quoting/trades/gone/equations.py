"""The take-off of a part whose trade is gone gives back what was frozen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.takeoff.needs import TakeOff
from quoting.values import Pick

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.gone.record import Gone


def take_off(part: Gone, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """The lines of a quote. Its standard operations are among them, so that it drives none; what it weighs is not known."""
    return TakeOff(needs=part.needs)


def several(part: Gone, copies: int) -> Gone:  # noqa: ARG001
    """The same: frozen lines are those of all pieces."""
    return part
