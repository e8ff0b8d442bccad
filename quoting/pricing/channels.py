"""What a piece can be sold for through each channel: list price, least price, what reaches the maker, room to haggle."""

from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from quoting.costing.model import cost
from quoting.costing.shared import job_trip, waiting_share
from quoting.errors import Problems
from quoting.job.brief import Brief
from quoting.job.job import Delivery
from quoting.job.rules import reserve_share
from quoting.job.selling import Channel
from quoting.money import exact
from quoting.pick import likely
from quoting.pricing.chain import Rules, goods_price, list_price
from quoting.pricing.price import rules
from quoting.pricing.reach import Costs, Radius, reach_of
from quoting.pricing.record import Priced
from quoting.pricing.sale import Sale, sale_at

NEUTRAL = " "
"""A channel without fees, packing, waiting or delivery: no shop can name one so, as names are stripped."""


class Selling(NamedTuple):
    """A piece through one channel.

    `cost` is with the reserve and everything that the channel adds [money]; `list_price` keeps the margin asked and `floor_price` the
    floor, both as the shop shows prices; `pickup` is the list price where the buyer fetches the piece, `radius` how far
    the list price can bear a free delivery (None where the channel does not deliver). `own_tax` is true where the channel charges a rate of its own. `haggle` is the most that may come
    off the list price: down to the floor price. Without fees and steps this is the discount-margin identity, largest
    discount = 1 - (1 - margin) / (1 - floor). `trouble` says why there is no price; then all sales are None.
    """

    name: str
    delivers: bool
    own_tax: bool
    cost: float
    added: float
    waiting: float
    rules: Rules
    list_price: Sale | None = None
    floor_price: Sale | None = None
    pickup: Sale | None = None
    haggle: Decimal = Decimal(0)
    radius: Radius | None = None
    trouble: str = ""

    @property
    def haggle_share(self) -> float:
        """The most that may come off, as a share of the list price."""
        return float(self.haggle / self.list_price.seen) if self.list_price and self.list_price.seen else 0.0


def channels_of(brief: Brief, priced: Priced) -> tuple[Selling, ...]:
    """A planned piece through every channel of its shop: its cost in the workshop carries the reserve."""
    base = planned_base(brief, priced)
    return tuple(selling(brief, name, base, priced.digits) for name in brief.shop.channel)


def planned_base(brief: Brief, priced: Priced) -> float:
    """What a planned piece costs in the workshop, with its reserve [money]."""
    bare = bare_cost(brief)
    return bare + reserve_on(priced, bare)


def reserve_on(priced: Priced, cost: float) -> float:
    """The reserve of a job on another cost than its own [money]: its share of that, or what was drawn."""
    share = reserve_share(priced.reserve_asked)
    return float(priced.cost["reserve"]) if share is None else share * cost


def bare_cost(brief: Brief) -> float:
    """Planned cost of the piece where it stands in the workshop: nothing to pack, to bring or to wait for [money]."""
    return float(cost(for_sale(brief, NEUTRAL), likely).planned)


def own_cost(brief: Brief) -> float:
    """Planned cost of the piece as its job says, delivery included [money]."""
    return float(cost(brief, likely).planned)


def for_sale(brief: Brief, channel: str, collected: bool = False) -> Brief:
    """The brief of the piece for sale through a channel, without what its job agreed with a client."""
    job, shop = brief.job, brief.shop
    shop = replace(shop, channel={**shop.channel, NEUTRAL: Channel(delivers="buyer")})
    price = replace(job.price, channel=channel, discount=None, rush=False)
    own = job.delivery
    crew = Delivery(crew=own.crew) if own is not None and own.crew else None
    delivery = Delivery(collect=True) if collected else crew
    sold = replace(job, piece=replace(job.piece, basis="for sale"), price=price, delivery=delivery)
    return replace(brief, job=sold, shop=shop)


def selling(brief: Brief, channel: str, base: float, digits: int) -> Selling:
    """A piece that costs `base` [money] in the workshop, sold through a channel.

    cost = (base + what the channel adds) x (1 + share of waiting): packing, with its overhead and small things, and a
    trip as far as the free distance where the maker delivers. P = (cost + fixed fees) / (1 - margin - commission and
    other shares), rounded up as every price.
    """
    sold = for_sale(brief, channel)
    waiting = waiting_share(sold)
    added = own_cost(sold) / (1 + waiting) - bare_cost(brief)
    spent = (base + added) * (1 + waiting)
    rule = rules(sold.job, sold.shop, 1, digits)
    through = sold.shop.channel[channel]
    delivers = through.delivers == "maker"
    none = Selling(channel, delivers, through.tax is not None, spent, added, waiting, rule)
    try:
        asked, least = at_margin(spent, rule), at_margin(spent, at_floor(rule))
    except Problems as wrong:
        return none._replace(trouble=wrong.problems[0].found.removeprefix("found "))
    fetched = for_sale(brief, channel, collected=True)
    apart = (base + own_cost(fetched) / (1 + waiting) - bare_cost(brief)) * (1 + waiting)
    radius = None
    if delivers:
        near = float(job_trip(sold, likely).cost(sold.shop.delivery.free_distance)) * (1 + waiting)
        radius = reach_of(asked, rule, (Costs("", spent - near),), sold, waiting).radii()[0]
    return none._replace(
        list_price=asked,
        floor_price=least,
        pickup=at_margin(apart, rule),
        haggle=max(asked.seen - least.seen, Decimal(0)),
        radius=radius,
    )


def at_margin(spent: float, rule: Rules) -> Sale:
    """The sale that keeps the margin of the rules at a cost [money], its figure rounded up as every price.

    Every fee is rounded to minor digits by itself: where that would take the margin below the one asked, steps of
    prices are added until it does not. Raises Problems where margin and fees leave nothing for the cost.
    """
    cost = exact(spent, rule.digits)
    price, _ = goods_price(cost, rule)
    sale = sale_at(list_price(price, rule)[2], rule)
    while sale.kept - cost < rule.margin * sale.net:
        sale = sale_at(sale.seen + rule.round_to, rule)
    return sale


def steps_added(sale: Sale, spent: float, rule: Rules) -> int:
    """How many steps of prices `at_margin` added to a sale for the sake of rounded fees."""
    price, _ = goods_price(exact(spent, rule.digits), rule)
    return int((sale.seen - list_price(price, rule)[2]) / rule.round_to)


def at_floor(rule: Rules) -> Rules:
    """The rules of the least price: the floor margin, and no other least price."""
    return rule._replace(margin=rule.floor, least_price=Decimal(0))
