"""The sheet "Selling": list price, price at the floor and what reaches the maker, through each channel."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from openpyxl.utils import get_column_letter

from quoting.documents.workbook.cells import half_up, rounded
from quoting.documents.workbook.looks import money_format
from quoting.documents.workbook.rounding import rounded_up_formula
from quoting.pricing.chain import left_for_cost
from quoting.pricing.channels import at_floor, steps_added
from quoting.pricing.price_rules import SET_ASIDE
from quoting.takeoff.delivery import channel_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.documents.workbook.cells import Page
    from quoting.documents.workbook.looks import Look
    from quoting.pricing.channels import Selling
    from quoting.pricing.price_rules import FeeShare
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Sale


SHARE = "0.00%"


SELLING = "Selling"
FIRST = 5
AGAIN = "run the command again"


class Rows(NamedTuple):
    """The row of every figure, the same for all channels; fees by name."""

    reserve: int
    own: int
    added: int
    waiting: int
    cost: int
    tax: int
    shares: dict[str, int]
    fixed: dict[str, int]
    left: int
    steps: int
    listed: int
    floor_left: int
    floor_steps: int
    least: int
    net: int
    fees: int
    hand: int
    haggle: int


class Column:
    """A channel's column."""

    def __init__(self, page: Page, priced: Priced, one: Selling, letter: str, rows: Rows) -> None:
        self.page, self.one, self.letter, self.rows = page, one, letter, rows
        self.digits, self.reserve = priced.digits, priced.chain.with_reserve
        self.shape = money_format(priced.digits)
        self.apart = channel_of(priced.job, priced.shop).tax is not None

    def write(self) -> None:
        """All figures of the channel; where its fees leave no price, why."""
        one, rows = self.one, self.rows
        base = one.cost / (1 + one.waiting) - one.added
        self.formula(rows.reserve, "with_reserve", self.reserve)
        self.grey(rows.own, base - float(self.reserve), self.shape)
        self.grey(rows.added, one.added, self.shape)
        self.grey(rows.waiting, one.waiting, SHARE)
        cost = (
            f"({self.at(rows.reserve)}+{self.at(rows.own)}+{self.at(rows.added)})*(1+{self.at(rows.waiting)})"
        )
        self.formula(rows.cost, half_up(cost, self.digits), round(one.cost, self.digits), "sum")
        self.tax()
        for fee in one.rules.fees:
            if fee.share:
                self.grey(rows.shares[fee.name], float(fee.share), SHARE)
            if fee.fixed:
                self.grey(rows.fixed[fee.name], float(fee.fixed), self.shape)
        if one.list_price is None or one.floor_price is None:
            self.page.text(f"{self.letter}{rows.listed}", one.trouble, "wrap")
            return
        self.prices(one.list_price, one.floor_price)

    def tax(self) -> None:
        """The rate of the sheet Price, but where this channel, or that of the job, charges its own."""
        if self.one.own_tax or self.apart:
            self.grey(self.rows.tax, float(self.one.rules.tax), SHARE)
        else:
            self.formula(self.rows.tax, "tax_rate", self.one.rules.tax, shape=SHARE)

    def prices(self, listed: Sale, least: Sale) -> None:
        """List price and least price, and what is left of the list price."""
        rows, rules = self.rows, self.one.rules
        factor = f'IF(tax_shown="included",1+{self.at(rows.tax)},1)'
        fixed = "+".join(self.at(row) for row in rows.fixed.values()) or "0"
        for row, margin, share in (
            (rows.left, "margin_wanted", rules.margin),
            (rows.floor_left, "floor_margin", rules.floor),
        ):
            formula = f"1-{margin}-({self.shares('net')})-({self.shares('total')})*(1+{self.at(rows.tax)})"
            self.formula(row, formula, left_for_cost(rules._replace(margin=share)), shape="0.0000")
        self.grey(rows.steps, steps_added(listed, self.one.cost, rules), "0")
        self.grey(rows.floor_steps, steps_added(least, self.one.cost, at_floor(rules)), "0")
        wanted = f"MAX(({self.at(rows.cost)}+{fixed})/{self.at(rows.left)},least_price)*{factor}"
        self.formula(rows.listed, self.stepped(wanted, rows.steps), listed.seen, "sum")
        floor = f"({self.at(rows.cost)}+{fixed})/{self.at(rows.floor_left)}*{factor}"
        self.formula(rows.least, self.stepped(floor, rows.floor_steps), least.seen)
        net = f'IF(tax_shown="included",{half_up(f"{self.at(rows.listed)}/(1+{self.at(rows.tax)})", self.digits)},{self.at(rows.listed)})'
        self.formula(rows.net, net, listed.net)
        total = f'IF(tax_shown="included",{self.at(rows.listed)},{self.at(rows.net)}+{half_up(f"{self.at(rows.net)}*{self.at(rows.tax)}", self.digits)})'
        each = [
            self.fee(fee, total if fee.on == "total" else self.at(rows.net))
            for fee in rules.fees
            if (fee.share or fee.fixed) and fee.name not in SET_ASIDE
        ]
        self.formula(rows.fees, "+".join(each) or "0", listed.fees)
        self.formula(
            rows.hand,
            rounded(f"{self.at(rows.net)}-{self.at(rows.fees)}", self.digits),
            listed.in_hand,
            "sum",
        )
        off = rounded(f"MAX({self.at(rows.listed)}-{self.at(rows.least)},0)", self.digits)
        self.formula(rows.haggle, off, max(listed.seen - least.seen, Decimal(0)))

    def shares(self, on: str) -> str:
        """Cells of the fees on net or on total, added."""
        fees = (fee for fee in self.one.rules.fees if fee.on == on and fee.share)
        found = [self.at(self.rows.shares[fee.name]) for fee in fees]
        return "+".join(found) or "0"

    def fee(self, fee: FeeShare, of: str) -> str:
        """A fee rounded to minor digits: its share of a price, and its fixed amount."""
        parts = [f"{self.at(self.rows.shares[fee.name])}*{of}"] if fee.share else []
        parts += [self.at(self.rows.fixed[fee.name])] if fee.fixed else []
        return half_up("+".join(parts), self.digits)

    def stepped(self, value: str, steps: int) -> str:
        """A figure rounded up to minor digits, then to the shop's step of prices, and the steps in a row added."""
        fine = rounded_up_formula(f"({value})", self.digits)
        return f"(-INT(-ROUND(({fine})/round_to,7))+{self.at(steps)})*round_to"

    def at(self, row: int) -> str:
        """The cell of a row."""
        return f"{self.letter}{row}"

    def formula(
        self, row: int, formula: str, value: Decimal | float, look: Look = "plain", shape: str = ""
    ) -> None:
        """A cell that follows from others."""
        self.page.formula(self.at(row), formula, value, shape, look)

    def grey(self, row: int, value: float, shape: str) -> None:
        """A cell that only the command can reckon."""
        self.page.number(self.at(row), value, shape, "grey")


def write_selling(page: Page, priced: Priced, channels: Sequence[Selling]) -> None:
    """Fill the sheet. Cost, margins, tax rate and steps of prices are those of the sheet Price and follow it."""
    page.text("A1", "What the piece can be sold for", "title")
    page.text(
        "A2",
        "Cost, margins and tax follow the sheet Price. Grey cells (the trip, packing, fees) do not follow pay or speed: "
        + AGAIN
        + f". Amounts in {priced.currency}.",
        "note",
    )
    fees = [fee for one in channels for fee in one.rules.fees]
    shares = dict.fromkeys(fee.name for fee in fees if fee.share)
    rows = _labels(page, list(shares), list(dict.fromkeys(fee.name for fee in fees if fee.fixed)))
    page.heads(FIRST - 1, ("Through", *(one.name for one in channels)), "", first_figure=2)
    for number, one in enumerate(channels, start=2):
        Column(page, priced, one, get_column_letter(number), rows).write()


def _labels(page: Page, shares: Sequence[str], fixed: Sequence[str]) -> Rows:
    """Words of the rows, and which row is which; `shares` and `fixed` are the fees that have them."""
    words = [
        "Cost with reserve, from the sheet Price", "Own delivery and waiting of this job, taken out",
        "Packing, and bringing it within the free radius", "Waiting for a buyer, share of the cost",
        "Cost through this channel", "Tax rate",
        *(f"{name}, share of the price" for name in shares), *(f"{name}, fixed" for name in fixed),
        "Share of the price left for cost", "Steps of prices added for rounded fees", "List price, as you show prices",
        "Share left at the floor margin", "Steps of prices added at the floor", "Price at the floor", "Net of the list price", "Fees of the list price", "Reaches your hand",
        "May come off the list price",
    ]  # fmt: skip
    for row, label in enumerate(words, start=FIRST):
        page.text(f"A{row}", label)
    at = iter(range(FIRST, FIRST + len(words)))
    reserve, own, added, waiting, cost, tax = (next(at) for _ in range(6))
    of_share, of_fixed = ({name: next(at) for name in names} for names in (shares, fixed))
    return Rows(reserve, own, added, waiting, cost, tax, of_share, of_fixed, *at)
