"""What an hour that is sold must bring: pay, what the hour carries of the shop, reserve, fees and margin."""

from typing import NamedTuple

from quoting.costing.rates import overhead_rate, pay_rate
from quoting.job.brief import Brief
from quoting.job.rules import OWNER, reserve_share
from quoting.money import exact, minor_digits, shared_out, trusted
from quoting.pricing.chain import left_for_cost
from quoting.pricing.in_brief import Share, whole_per_cents
from quoting.pricing.price import rules


class SoldHour(NamedTuple):
    """An hour of the owner in a price before tax [money/h]; the parts sum to `total`.

    `reserve` is None where the reserve of each job is drawn: then it comes on top.
    """

    pay: float
    overhead: float
    sundries: float
    reserve: float | None
    fees: float
    margin: float

    @property
    def cost(self) -> float:
        """What the hour costs, its reserve in it."""
        return self.pay + self.overhead + self.sundries + (self.reserve or 0.0)

    @property
    def total(self) -> float:
        """What the hour must bring."""
        return self.cost + self.fees + self.margin


def where_it_goes(hour: SoldHour, digits: int) -> tuple[Share, ...]:
    """The parts of an hour that is sold, each to the cent, with their whole per cents, the largest first."""
    parts = {
        "your pay": hour.pay,
        "overhead": hour.overhead,
        "small things by the hour": hour.sundries,
        "reserve": hour.reserve or 0.0,
        "fees": hour.fees,
        "margin": hour.margin,
    }
    whole = exact(hour.total, digits)
    amounts = shared_out(whole, [trusted(amount) for amount in parts.values()], digits)
    rows = map(Share, parts, amounts, whole_per_cents(amounts, whole))
    return tuple(sorted((row for row in rows if row.amount), key=lambda row: -row.amount))


def sold_hour(brief: Brief) -> SoldHour:
    """What an hour must bring by the rules of a shop, through its usual channel: (pay + overhead + sundries) x (1 + reserve) / the
    share of a price that is left for cost. Fixed fees, material and machines stand beside it. Raises Problems where nothing is left.
    """
    shop = brief.shop
    ruled = rules(brief.job, shop, len(shop.terms.payments), minor_digits(shop.shop.currency))
    hour = SoldHour(
        pay=pay_rate(shop.pay[OWNER]).per_hour,
        overhead=overhead_rate(shop.overhead).per_hour,
        sundries=sum(one.per_labour_hour for one in shop.sundries.values()),
        reserve=None,
        fees=0.0,
        margin=0.0,
    )
    share = reserve_share(shop.pricing.reserve)
    hour = hour._replace(reserve=None if share is None else hour.cost * share)
    whole = hour.cost / float(left_for_cost(ruled))
    margin = whole * float(ruled.margin)
    return hour._replace(margin=margin, fees=whole - hour.cost - margin)
