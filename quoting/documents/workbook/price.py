"""The sheet "Price": its rows of a label, a figure with a name and a remark; cost by group, and the price chain."""

from decimal import Decimal

from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import SHARE, Look, Page, half_up, rate_format, rounded
from quoting.documents.workbook.inputs import (
    AGAIN,
    CHANGED,
    CHANGED_GUARDED,
    amount_input,
    bounded_input,
    choice_input,
    share_input,
)
from quoting.documents.workbook.listings import group_sum
from quoting.documents.workbook.steps import chosen
from quoting.measures import measure
from quoting.money import step
from quoting.pricing.chain import goods_price
from quoting.pricing.record import group_title
from quoting.takeoff.delivery import channel_of

PATHS = {
    "reserve_share": "pricing.reserve", "margin_wanted": "pricing.margin (or price.margin of the job)",
    "tax_rate": "tax.rate", "tax_shown": "tax.shown", "tax_the_trip": "tax.tax_the_trip",
    "rush": "price.rush of the job, at pricing.rush", "least_price": "pricing.least_price",
    "round_to": "pricing.round_to", "discount_share": "price.discount of the job",
    "discount_amount": "price.discount of the job", "floor_margin": "pricing.floor_margin",
}  # fmt: skip
"""Where the inputs of this sheet stand in the files."""


class PriceRows:
    """Writes from `row` downwards. `names` collects the cell of every named figure."""

    def __init__(self, page: Page, book: Book, row: int) -> None:
        self.page, self.book, self.priced, self.row = page, book, book.priced, row
        self.names: dict[str, str] = {}

    def head(self, *words: str) -> None:
        """A heading above a group of rows, after an empty row."""
        self.row += 1
        self.page.heads(self.row, (*words, *[""] * (7 - len(words))), figures="BCD")
        self.row += 1

    def figure(self, words: str, name: str, remark: str = "", look: Look = "plain") -> str:
        """A row's label, name and remark; returns the cell for its figure."""
        at = f"B{self.row}"
        self.page.text(f"A{self.row}", words, look)
        if remark:
            self.page.text(f"C{self.row}", remark, "note")
        self.names[name] = f"Price!$B${self.row}"
        self.row += 1
        return at

    def reckoned(
        self, words: str, name: str, formula: str, value: Decimal | float | str, *,
        shape: str = "", look: Look = "plain", remark: str = "",
    ) -> None:  # fmt: skip
        """A row that follows from others."""
        self.page.formula(self.figure(words, name, remark, look), formula, value, shape, look)

    def share(self, words: str, name: str, value: Decimal) -> None:
        """A share that may be changed."""
        at = self.figure(words, name)
        share_input(self.page, at, value)
        self.mark(at, name, repr(float(value)))

    def amount(self, words: str, name: str, value: Decimal, shape: str = "", least: str = "0") -> None:
        """An amount that may be changed."""
        at = self.figure(words, name)
        amount_input(self.page, at, value, shape, least)
        self.mark(at, name, repr(float(value)))

    def choice(self, words: str, name: str, value: str, choices: tuple[str, ...]) -> None:
        """One of a few words."""
        at = self.figure(words, name)
        choice_input(self.page, at, value, choices)
        self.mark(at, name, f'"{value}"')

    def mark(self, at: str, name: str, first: str, word: str = CHANGED) -> None:
        """Beside an input: whether it was changed, and where files hold it."""
        if name not in PATHS:
            return
        row = at[1:]
        self.page.formula(f"C{row}", f'IF({at}={first},"","{word}")', "", "@", "note")
        self.page.text(f"D{row}", PATHS[name], "note")
        self.book.marks.append(f"Price!$C${row}")


def write_cost(rows: PriceRows) -> int:
    """Planned cost by group, the reserve, and both together. Returns the row of the first group."""
    priced, digits = rows.priced, rows.priced.digits
    rows.head("Cost", f"Amount [{priced.currency}]")
    first = rows.row
    for group in priced.groups:
        rows.reckoned(group_title(group), f"cost_{group}", group_sum(priced, group), priced.cost[group])
    planned = rounded(f"SUM(B{first}:B{rows.row - 1})", digits)
    rows.reckoned("Planned cost", "planned", planned, priced.cost["planned"], look="sum")
    if priced.reserve_drawn:
        _write_drawn(rows)
    else:
        share = Decimal(repr(measure(priced.reserve_asked, "share")))
        rows.share("Reserve, share of planned cost", "reserve_share", share)
        rows.reckoned("Reserve", "reserve", half_up("planned*reserve_share", digits), priced.cost["reserve"])
    total = rounded("planned+reserve", digits)
    rows.reckoned("Cost with reserve", "with_reserve", total, priced.chain.with_reserve, look="sum")
    return first


def _write_drawn(rows: PriceRows) -> None:
    """A drawn reserve, or a share in its place: with a share the inputs that move a drawn one may be changed."""
    reserve, planned, digits = rows.priced.cost["reserve"], rows.priced.cost["planned"], rows.priced.digits
    rows.choice("Reserve by (drawn or share)", "reserve_by", "drawn", ("drawn", "share"))
    at = rows.figure("Reserve as drawn", "reserve_drawn", f"what 8 in 10 builds would need: {AGAIN}")
    rows.page.number(at, reserve, look="grey")
    share = round(reserve / planned, 4) if planned else Decimal(0)
    rows.share("Reserve, share of planned cost", "reserve_share", share)
    formula = f'IF(reserve_by="drawn",reserve_drawn,{half_up("planned*reserve_share", digits)})'
    rows.reckoned("Reserve", "reserve", formula, reserve)


def write_chain(rows: PriceRows) -> None:
    """From cost with reserve to the goods price, the discount, the surcharge, net, tax and total."""
    rules, chain, digits = rows.priced.rules, rows.priced.chain, rows.priced.digits
    rows.head("Price", f"Amount [{rows.priced.currency}]")
    rows.share("Margin wanted, share of the net price", "margin_wanted", rules.margin)
    _write_tax_rate(rows)
    shown, taxed = "included" if rules.included else "added", "yes" if rules.tax_the_trip else "no"
    rows.choice("Tax in the price that the client sees", "tax_shown", shown, ("included", "added"))
    rows.choice("Tax on the delivery surcharge", "tax_the_trip", taxed, ("yes", "no"))
    left = "1-margin_wanted-fees_on_net-fees_on_total*(1+tax_rate)"
    words = "Share of the price left for cost"
    rows.reckoned(words, "left_for_cost", left, chain.denominator, shape="0.0000")
    rows.share("Rush, on the price", "rush", rules.rush)
    _write_wanted(rows)
    rows.reckoned("Goods price, as listed", "goods", chosen("D"), chain.goods, look="sum")
    rows.reckoned("Discount", "discount", chosen("E"), chain.discount)
    beyond = half_up(rows.book.formulas.of(rows.book.plan.trip_beyond), digits)
    words, remark = "Delivery cost to be surcharged", "the trip beyond the free distance"
    rows.reckoned(words, "delivery_extra", beyond, chain.delivery_extra, remark=remark)
    surcharge = half_up("delivery_extra/left_for_cost", digits)
    rows.reckoned("Delivery surcharge", "surcharge", surcharge, chain.surcharge)
    net = rounded("goods-discount+surcharge", digits)
    rows.reckoned("Net price", "net_price", net, chain.net, look="sum")
    trip = 'IF(tax_the_trip="yes",surcharge,0)'
    contained = f"{chosen('B')}-{chosen('C')}-(goods-discount)+{half_up(f'{trip}*tax_rate', digits)}"
    added = half_up(f"(goods-discount+{trip})*tax_rate", digits)
    tax = f'IF(AND(tax_shown="included",tax_rate>0),{rounded(contained, digits)},{added})'
    rows.reckoned("Tax", "tax_amount", tax, chain.tax)
    rows.reckoned("Total", "total_price", rounded("net_price+tax_amount", digits), chain.total, look="sum")


def _write_tax_rate(rows: PriceRows) -> None:
    """The tax rate; fixed where the shop is not registered, or where packs are bought by prices with tax. One that may be
    changed moves a drawn reserve too, where materials are bought with tax.
    """
    shop, plan, rate = rows.priced.shop, rows.book.plan, rows.priced.rules.tax
    own = channel_of(rows.priced.job, shop).tax
    if not shop.tax.registered or own is not None or "tax.rate" in plan.fixed:
        rows.page.number(rows.figure("Tax rate", "tax_rate", AGAIN), rate, SHARE, "grey")
    elif "tax.rate" not in plan.guarded:
        rows.share("Tax rate", "tax_rate", rate)
    else:
        at = rows.figure("Tax rate", "tax_rate")
        bounded_input(rows.page, at, float(rate), SHARE, 0.0, 0.9999, guarded=True)
        rows.mark(at, "tax_rate", repr(float(rate)), CHANGED_GUARDED)


def _write_wanted(rows: PriceRows) -> None:
    """The net price that holds the margin, the least price, and what is rounded up to what."""
    rules, fine = rows.priced.rules, rate_format(rows.priced.digits)
    wanted, ruled_by = goods_price(rows.priced.chain.with_reserve, rules)
    fixed = sum((fee.fixed for fee in rules.fees), Decimal(0))
    by_margin = (rows.priced.chain.with_reserve + fixed) / rows.priced.chain.denominator * (1 + rules.rush)
    # No price holds a margin that leaves nothing for the cost: the cell says so, as the command does.
    formula = "IF(left_for_cost>0,(with_reserve+fixed_fees)/left_for_cost*(1+rush),NA())"
    rows.reckoned("Net price that holds the margin", "price_by_margin", formula, by_margin, shape=fine)
    rows.amount("Least price", "least_price", rules.least_price)
    rows.reckoned("Net price wanted", "price_wanted", "MAX(price_by_margin,least_price)", wanted, shape=fine)
    ruled = 'IF(price_by_margin>=least_price,"margin","least price")'
    rows.reckoned("price set by", "ruled_by", ruled, ruled_by)
    least = str(step(rules.digits))
    rows.amount("Rounded up to a whole multiple of", "round_to", rules.round_to, shape=fine, least=least)
    rows.share("Discount, share of the listed price", "discount_share", rules.discount_share)
    rows.amount("Discount, amount that the client sees", "discount_amount", rules.discount_amount)
