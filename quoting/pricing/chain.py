"""The price chain by the rules of shop and job, cost with reserve -> goods price -> discount -> fees -> tax -> total."""

from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from quoting.errors import refused
from quoting.measures.showing import per_cent
from quoting.money import exact, rounded_up, step

AFTER_SALE, BAD_DEBT = "kept for mending and returns", "kept for bad debt"
SET_ASIDE = (AFTER_SALE, BAD_DEBT)
"""Shares of a price that the shop keeps for what may come: they go off the margin, but to nobody else."""


class FeeShare(NamedTuple):
    """A fee of this sale: a share of net or total, and a fixed amount for all its payments."""

    name: str
    share: Decimal
    fixed: Decimal
    on: str


class Rules(NamedTuple):
    """What the shop and the job rule about the price. Shares are of the net price, unless `on` total."""

    margin: Decimal
    floor: Decimal
    tax: Decimal
    included: bool
    tax_the_trip: bool
    fees: tuple[FeeShare, ...]
    discount_share: Decimal
    discount_amount: Decimal
    rush: Decimal
    least_price: Decimal
    round_to: Decimal
    digits: int


def share(value: float) -> Decimal:
    """A share of the shop file as an exact number."""
    return Decimal(repr(float(value)))


class Seen(NamedTuple):
    """Figures as the client sees them."""

    goods: Decimal
    discount: Decimal
    surcharge: Decimal


@dataclass(frozen=True, slots=True)
class Chain:
    """The price of a job, every figure exact. `net` is goods less discount plus surcharge, before tax.

    `seen` are list price, discount and surcharge as the client sees them: with tax where the shop shows
    prices so, and then they sum to the total.
    """

    goods: Decimal
    discount: Decimal
    surcharge: Decimal
    net: Decimal
    tax: Decimal
    total: Decimal
    fees: dict[str, Decimal]
    with_reserve: Decimal
    delivery_extra: Decimal
    margin: Decimal
    markup: Decimal
    ruled_by: str
    denominator: Decimal
    seen: Seen

    @property
    def fee_total(self) -> Decimal:
        """All fees, and what is kept for mending and bad debt."""
        return sum(self.fees.values(), self.net * 0)

    @property
    def spent(self) -> Decimal:
        """Cost with reserve [money], the whole trip in it."""
        return self.with_reserve + self.delivery_extra


def left_for_cost(rules: Rules) -> Decimal:
    """The share of a net price that is left for cost: 1 - margin - fees on the net price - fees on the total x (1 + tax).

    With a margin of 25 % and 2 % kept for mending, 73 % of the price are left for cost and reserve. Raises Problems
    where nothing is left.
    """
    of_net = sum((fee.share for fee in rules.fees if fee.on == "net"), Decimal(0))
    of_total = sum((fee.share for fee in rules.fees if fee.on == "total"), Decimal(0))
    left = 1 - rules.margin - of_net - of_total * (1 + rules.tax)
    if left <= 0:
        words = f"found margin {per_cent(rules.margin)} and fees of {per_cent(of_net + of_total * (1 + rules.tax))}: nothing of the price is left for the cost"
        raise refused(
            "pricing.margin", words, "write a lower margin, or lower fees",
            code="too_large", margin=float(rules.margin), fees=float(of_net + of_total * (1 + rules.tax)),
        )  # fmt: skip
    return left


def goods_price(with_reserve: Decimal, rules: Rules) -> tuple[Decimal, str]:
    """The net price that holds the margin, and whether the margin or the shop's least price ruled it.

    (Cost with reserve + fixed fees) / the share left for cost x (1 + rush); at least the least price.
    """
    fixed = sum((fee.fixed for fee in rules.fees), Decimal(0))
    price = (with_reserve + fixed) / left_for_cost(rules) * (1 + rules.rush)
    return (price, "margin") if price >= rules.least_price else (rules.least_price, "least price")


def list_price(price: Decimal, rules: Rules) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """The list price: what the goods must bring, before the discount, rounded up to a whole multiple of `round_to`.

    (Price / (1 - discount share) + discount amount) x (1 + tax, where prices are shown with it). So the margin holds
    after the discount; where rounding a discount to cents would break that, steps of `round_to` are added.

    Shapes: (list, discount, seen, seen discount), net and as the client sees them.
    """
    factor = 1 + rules.tax if rules.included else Decimal(1)
    wanted = price / (1 - rules.discount_share) + rules.discount_amount / factor
    seen = rounded_up(exact_up(wanted * factor, rules.digits), rules.round_to)
    while True:
        seen = exact(seen, rules.digits)
        off = exact(seen * rules.discount_share + rules.discount_amount, rules.digits)
        goods, discount = (exact(amount / factor, rules.digits) for amount in (seen, off))
        if goods - discount >= price - step(rules.digits) / 2:
            return goods, discount, seen, off
        seen += rules.round_to


def exact_up(value: Decimal, digits: int) -> Decimal:
    """An amount rounded up to minor digits, noise below the ninth decimal forgiven."""
    return rounded_up(exact(value, 9), step(digits))


def chain(with_reserve: Decimal, delivery_extra: Decimal, rules: Rules) -> Chain:
    """The whole way: list price - discount + delivery surcharge = net price; + tax = total.

    The surcharge is what the trip costs beyond what the price carries (`delivery_extra` [money]) / the share left for
    cost, so that the margin holds there too. The margin is what is left of the net price after cost, reserve and fees.
    """
    left = left_for_cost(rules)
    price, ruled_by = goods_price(with_reserve, rules)
    goods, discount, seen, off = list_price(price, rules)
    surcharge = exact(delivery_extra / left, rules.digits)
    net = goods - discount + surcharge
    tax = _tax(goods, discount, surcharge, seen - off, rules)
    total = net + tax
    fees = fees_of(net, total, rules)
    spent = with_reserve + delivery_extra
    kept = net - sum(fees.values(), Decimal(0)) - spent
    return Chain(
        goods=goods,
        discount=discount,
        surcharge=surcharge,
        net=net,
        tax=tax,
        total=total,
        fees=fees,
        with_reserve=with_reserve,
        delivery_extra=delivery_extra,
        margin=kept / net if net else Decimal(0),
        markup=kept / spent if spent else Decimal(0),
        ruled_by=ruled_by,
        denominator=left,
        seen=Seen(seen, off, surcharge + (trip_tax(surcharge, rules) if rules.included else 0)),
    )


def fees_of(net: Decimal, total: Decimal, rules: Rules, fixed: bool = True) -> dict[str, Decimal]:
    """Every fee of a sale; without the fixed amounts for what is added to a sale that paid them."""
    found = {}
    for fee in rules.fees:
        if fee.share or (fee.fixed and fixed):
            of = total if fee.on == "total" else net
            found[fee.name] = exact(fee.share * of + (fee.fixed if fixed else 0), rules.digits)
    return found


def trip_tax(surcharge: Decimal, rules: Rules) -> Decimal:
    """Tax on a delivery surcharge; none where the shop does not tax its deliveries."""
    return exact(surcharge * rules.tax, rules.digits) if rules.tax_the_trip else exact(0, rules.digits)


def _tax(goods: Decimal, discount: Decimal, surcharge: Decimal, seen: Decimal, rules: Rules) -> Decimal:
    """Tax of the sale: on the taxable sum (EN 16931 BR-CO-17), or what a price seen with tax contains."""
    if rules.included and rules.tax:
        return seen - (goods - discount) + trip_tax(surcharge, rules)
    taxed_trip = surcharge if rules.tax_the_trip else Decimal(0)
    return exact((goods - discount + taxed_trip) * rules.tax, rules.digits)
