"""What a job answers about its sale: how sure its price is, how far it goes, its versions, what it is sold for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.api.result import Result
from quoting.as_data import planned
from quoting.as_data.record import Data
from quoting.measures.showing import as_far, per_cent
from quoting.money import OWN, printed
from quoting.runs.reach import Found as Reached
from quoting.runs.risk import Compared
from quoting.runs.risk import Risk as Drawn
from quoting.runs.sell import Found as Sold

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure


class Risk(Result[Drawn]):
    """How sure a price is: the whole build drawn many times."""

    _rows = "drivers"

    @property
    def cost(self) -> dict[float, float]:
        """Cost [money] at its levels: 0.8 is what 8 in 10 builds stay below."""
        return {one.level: one.value for one in self.found.outlook.cost}

    @property
    def loses(self) -> float:
        """The chance that the price does not cover the cost."""
        return self.found.outlook.loses.share

    def _data(self) -> Data:
        return planned.risk_data(self.found.priced, self.found.outlook)

    def _of(self) -> str:
        return self.found.priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        currency = self.found.priced.currency
        for level, value in self.cost.items():
            yield f"{level * 100:.0f} % of builds cost at most", f"{value:,.0f} {currency}"
        yield "chance of a loss", per_cent(self.loses)

    def _figure(self) -> Figure:
        from quoting.documents.pictures.price import risk_picture

        return risk_picture(self.found.priced, self.found.outlook)


class Reach(Result[Reached]):
    """How far a piece can be delivered, free and with a surcharge."""

    _rows = "distances"

    def _data(self) -> Data:
        return planned.reach_data(self.found)

    def _of(self) -> str:
        return self.found.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.reach.radii():
            yield f"at the margin asked of {one.name}", as_far(one.at_margin, self.found.shop.shop.units)

    def _figure(self) -> Figure:
        from quoting.documents.pictures.price import reach_picture

        return reach_picture(self.found.reach, self.found.shop, self.found.title, self.found.asked_m)


class Comparison(Result[Compared]):
    """Versions of a piece side by side."""

    _rows = "versions"

    def _data(self) -> Data:
        return planned.compare_data(self.found)

    def _records(self) -> list[Data]:
        return [{"name": one["name"], **one["figures"]} for one in self.to_dict()["versions"]]

    def _of(self) -> str:
        return self.found.versions[0].priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.versions:
            yield one.name, printed(one.priced.chain.total, one.priced.currency, OWN)


class Sale(Result[Sold]):
    """What a piece can be sold for, through each channel."""

    _rows = "channels"

    @property
    def target(self) -> Decimal | None:
        """The list price through the channel it is sold through."""
        sale = self.found.own.list_price
        return None if sale is None else sale.seen

    def _data(self) -> Data:
        return planned.sell_data(self.found)

    def _of(self) -> str:
        return self.found.piece.priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.channels:
            price = one.list_price
            yield (
                one.name,
                "-" if price is None else printed(price.seen, self.found.piece.priced.currency, OWN),
            )
