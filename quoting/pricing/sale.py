"""A sale at any figure, and the price of a change: what the client pays becomes net, tax and fees, and what it leaves the maker."""

from decimal import Decimal
from typing import NamedTuple

from quoting.job.rules import OWNER
from quoting.money import exact, rounded_up
from quoting.pricing.chain import SET_ASIDE, Rules, exact_up, fees_of, left_for_cost, trip_tax
from quoting.pricing.record import Priced, PricedLine


class Sale(NamedTuple):
    """A piece sold at `seen`, the figure that the shop shows: with tax where it shows prices so.

    `fees` go to others; `set_aside` is what the shop keeps for mending, returns and bad debt.
    """

    seen: Decimal
    net: Decimal
    tax: Decimal
    fees: Decimal
    set_aside: Decimal

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax

    @property
    def kept(self) -> Decimal:
        """What is left for cost and profit."""
        return self.net - self.fees - self.set_aside

    @property
    def in_hand(self) -> Decimal:
        """What reaches the maker's hand."""
        return self.net - self.fees


def sale_at(seen: Decimal, rules: Rules) -> Sale:
    """A sale at the figure shown [money], without discount. Nothing is paid for what is given away."""
    net, tax = _split(seen, rules)
    all_fees = fees_of(net, net + tax, rules) if net else {}
    zero = exact(0, rules.digits)
    aside = sum((amount for name, amount in all_fees.items() if name in SET_ASIDE), zero)
    return Sale(seen, net, tax, sum(all_fees.values(), zero) - aside, aside)


def margin_of(sale: Sale, cost: float) -> float | None:
    """Share of the net price that is left after fees and a cost [money]; None for no price."""
    return float((float(sale.kept) - cost) / float(sale.net)) if sale.net else None


class Spending(NamedTuple):
    """What a piece takes [money, h]: cash is what goes to others, for bought things, outside work, carriage and helpers.

    `base` is the cost in the workshop: with own pay, overhead and what is left of the reserve, without its delivery.
    `actual` is true where the ledger knows what happened; `built` where nothing but the sale is to come.
    """

    cash_spent: float
    cash_to_spend: float
    not_recorded: float
    base: float
    reserve: float
    own_hours: float
    own_pay: float
    actual: bool
    built: bool


class Outcome(NamedTuple):
    """A sale at a figure: what stays in hand after tax, fees and all cash, what an own hour earned, the margin."""

    sale: Sale
    in_hand: float
    an_hour: float | None
    margin: float | None


def is_cash(line: PricedLine) -> bool:
    """True for lines whose money goes to others for this piece."""
    if line.material:
        return line.supplied == "bought"
    if line.of_people:
        return line.item != OWNER
    return line.by_others or line.trade in ("carriage", "setback")


def is_own_hours(line: PricedLine) -> bool:
    """True for hours of the owner."""
    return line.of_people and line.item == OWNER


def planned_cash(priced: Priced) -> Decimal:
    """What goes to others by the plan [money]: whole packs, outside work, carriage, helpers."""
    helpers = (line.amount for line in priced.lines if is_cash(line) and line.measure == "h")
    return priced.cost["cash"] + sum(helpers, Decimal(0))


def planned_spending(priced: Priced, base: float, bare: float) -> Spending:
    """What a piece takes by its plan: whole packs are bought, nothing is spent yet. `bare` is its cost without a reserve."""
    own = [line for line in priced.lines if is_own_hours(line)]
    return Spending(
        cash_spent=0.0,
        cash_to_spend=float(planned_cash(priced)),
        not_recorded=0.0,
        base=base,
        reserve=base - bare,
        own_hours=sum(line.quantity for line in own),
        own_pay=sum(float(line.amount) for line in own),
        actual=False,
        built=False,
    )


def an_hour(left: float, own_pay: float, own_hours: float) -> float | None:
    """What an hour of the owner earns [money/h], all else paid: (what is left after all cost + own pay) / own hours; None without hours."""
    return (left + own_pay) / own_hours if own_hours else None


def outcome(sale: Sale, spending: Spending, cost: float) -> Outcome:
    """A sale of a piece that costs `cost` with everything.

    in hand = net - fees - cash spent - cash to spend; an hour = (net - fees - set aside - (cost - own pay)) / own hours.
    """
    return Outcome(
        sale=sale,
        in_hand=float(sale.in_hand) - spending.cash_spent - spending.cash_to_spend - spending.not_recorded,
        an_hour=an_hour(float(sale.kept) - cost, spending.own_pay, spending.own_hours),
        margin=margin_of(sale, cost),
    )


class ChangePrice(NamedTuple):
    """What a change costs, and its price [money]. `ruled_by` is "margin", "least charge", or "agreed"."""

    cost: Decimal
    net: Decimal
    tax: Decimal
    fees: Decimal
    ruled_by: str

    @property
    def total(self) -> Decimal:
        """What the client pays for it, or gets back."""
        return self.net + self.tax


def change_price(before: Priced, after: Priced, least: Decimal) -> ChangePrice:
    """The price of going from one plan to another, by the rules of the quote.

    Difference of cost with reserve / (1 - margin - fees) x (1 + rush): the share left for cost of the price itself, in whole steps
    of the shop's prices, the same for there and back. What adds cost, or moves none, is charged at least `least`;
    what saves cost is given back in full. The surcharge of a longer or shorter trip comes on top.
    """
    rules = before.rules
    left = left_for_cost(rules)
    goods = (after.chain.with_reserve - before.chain.with_reserve) / left * (1 + rules.rush)
    trip = exact((after.chain.delivery_extra - before.chain.delivery_extra) / left, rules.digits)
    cost = after.chain.spent - before.chain.spent
    ruled_by = "margin"
    if cost >= 0 and goods + trip < least:
        goods, ruled_by = least - trip, "least charge"
    factor = 1 + rules.tax if rules.included else Decimal(1)
    seen = rounded_up(exact_up(abs(goods) * factor, rules.digits), rules.round_to)
    net, tax = _split(exact(seen.copy_sign(goods), rules.digits), rules)
    return _priced(cost, net + trip, tax + trip_tax(trip, rules), rules, ruled_by)


def agreed_price(before: Priced, cost: Decimal, seen: Decimal) -> ChangePrice:
    """A change at the price that was agreed, as the shop shows prices: with tax in them, or without."""
    return _priced(cost, *_split(exact(seen, before.digits), before.rules), before.rules, "agreed")


def _split(seen: Decimal, rules: Rules) -> tuple[Decimal, Decimal]:
    """Net and tax of an amount as the client sees it."""
    net = exact(seen / (1 + rules.tax), rules.digits) if rules.included else seen
    return net, seen - net if rules.included else exact(seen * rules.tax, rules.digits)


def _priced(cost: Decimal, net: Decimal, tax: Decimal, rules: Rules, ruled_by: str) -> ChangePrice:
    """With the shares of the sale that go off it; fixed fees were paid with the quote's own payments."""
    net, tax = net + 0, tax + 0  # takes the sign off a zero
    fees = sum(fees_of(net, net + tax, rules, fixed=False).values(), exact(0, rules.digits))
    return ChangePrice(cost, net, tax, fees, ruled_by)
