"""The sheet "Selling": list price, price at the floor and what reaches the maker, through each channel."""

from collections.abc import Sequence
from decimal import Decimal

from openpyxl.utils import get_column_letter

from quoting.documents.workbook.cells import Page, half_up, rounded
from quoting.documents.workbook.looks import SHARE, Look, money_format
from quoting.documents.workbook.rounding import rounded_up_formula
from quoting.pricing.chain import SET_ASIDE, FeeShare, left_for_cost
from quoting.pricing.channels import Selling, at_floor, steps_added
from quoting.pricing.record import Priced
from quoting.pricing.sale import Sale
from quoting.takeoff.delivery import channel_of

SELLING = "Selling"
FIRST = 5
NOTE = (
    "Cost, margins and tax follow the sheet Price. Grey cells (the trip, packing, fees) do not follow pay or speed:"
    " run the command again."
)
BEFORE_FEES = {
    "reserve": "Cost with reserve, from the sheet Price",
    "own": "Own delivery and waiting of this job, taken out",
    "added": "Packing, and bringing it within the free radius",
    "waiting": "Waiting for a buyer, share of the cost",
    "cost": "Cost through this channel",
    "tax": "Tax rate",
}
AFTER_FEES = {
    "left": "Share of the price left for cost",
    "steps": "Steps of prices added for rounded fees",
    "listed": "List price, as you show prices",
    "floor_left": "Share left at the floor margin",
    "floor_steps": "Steps of prices added at the floor",
    "least": "Price at the floor",
    "net": "Net of the list price",
    "fees": "Fees of the list price",
    "hand": "Reaches your hand",
    "haggle": "May come off the list price",
}
"""Figures of a channel and the words of their rows; between them stand its fees, whose words are their names."""
SHARE_OF, FIXED = ", share of the price", ", fixed"


class Column:
    """A channel's column."""

    def __init__(self, page: Page, priced: Priced, one: Selling, letter: str, rows: dict[str, int]) -> None:
        self.page, self.one, self.letter, self.rows = page, one, letter, rows
        self.digits, self.reserve = priced.digits, priced.chain.with_reserve
        self.shape = money_format(priced.digits)
        self.apart = channel_of(priced.job, priced.shop).tax is not None

    def write(self) -> None:
        """All figures of the channel; where its fees leave no price, why."""
        one, at = self.one, self.at
        base = one.cost / (1 + one.waiting) - one.added
        self.formula("reserve", "with_reserve", self.reserve)
        self.grey("own", base - float(self.reserve), self.shape)
        self.grey("added", one.added, self.shape)
        self.grey("waiting", one.waiting, SHARE)
        cost = f"({at('reserve')}+{at('own')}+{at('added')})*(1+{at('waiting')})"
        self.formula("cost", half_up(cost, self.digits), round(one.cost, self.digits), "sum")
        self.tax()
        for fee in one.rules.fees:
            if fee.share:
                self.grey(fee.name + SHARE_OF, float(fee.share), SHARE)
            if fee.fixed:
                self.grey(fee.name + FIXED, float(fee.fixed), self.shape)
        if one.list_price is None or one.floor_price is None:
            self.page.text(at("listed"), one.trouble, "wrap")
        else:
            self.prices(one.list_price, one.floor_price)

    def tax(self) -> None:
        """The rate of the sheet Price, but where this channel, or that of the job, charges its own."""
        if self.one.own_tax or self.apart:
            self.grey("tax", float(self.one.rules.tax), SHARE)
        else:
            self.formula("tax", "tax_rate", self.one.rules.tax, shape=SHARE)

    def prices(self, listed: Sale, least: Sale) -> None:
        """List price and least price, and what is left of the list price."""
        rules, digits = self.one.rules, self.digits
        cost, tax, asked, net = (self.at(name) for name in ("cost", "tax", "listed", "net"))
        factor = f'IF(tax_shown="included",1+{tax},1)'
        fixed = "+".join(self.at(name) for name in self.rows if name.endswith(FIXED)) or "0"
        for name, margin, share in (
            ("left", "margin_wanted", rules.margin),
            ("floor_left", "floor_margin", rules.floor),
        ):
            formula = f"1-{margin}-({self.shares('net')})-({self.shares('total')})*(1+{tax})"
            self.formula(name, formula, left_for_cost(rules._replace(margin=share)), shape="0.0000")
        self.grey("steps", steps_added(listed, self.one.cost, rules), "0")
        self.grey("floor_steps", steps_added(least, self.one.cost, at_floor(rules)), "0")
        wanted = f"MAX(({cost}+{fixed})/{self.at('left')},least_price)*{factor}"
        self.formula("listed", self.stepped(wanted, "steps"), listed.seen, "sum")
        floor = f"({cost}+{fixed})/{self.at('floor_left')}*{factor}"
        self.formula("least", self.stepped(floor, "floor_steps"), least.seen)
        within = half_up(f"{asked}/(1+{tax})", digits)
        self.formula("net", f'IF(tax_shown="included",{within},{asked})', listed.net)
        total = f'IF(tax_shown="included",{asked},{net}+{half_up(f"{net}*{tax}", digits)})'
        paid = [fee for fee in rules.fees if (fee.share or fee.fixed) and fee.name not in SET_ASIDE]
        each = [self.fee(fee, total if fee.on == "total" else net) for fee in paid]
        self.formula("fees", "+".join(each) or "0", listed.fees)
        self.formula("hand", rounded(f"{net}-{self.at('fees')}", digits), listed.in_hand, "sum")
        off = rounded(f"MAX({asked}-{self.at('least')},0)", digits)
        self.formula("haggle", off, max(listed.seen - least.seen, Decimal(0)))

    def shares(self, on: str) -> str:
        """Cells of the fees on net or on total, added."""
        fees = (fee for fee in self.one.rules.fees if fee.on == on and fee.share)
        found = [self.at(fee.name + SHARE_OF) for fee in fees]
        return "+".join(found) or "0"

    def fee(self, fee: FeeShare, of: str) -> str:
        """A fee rounded to minor digits: its share of a price, and its fixed amount."""
        parts = [f"{self.at(fee.name + SHARE_OF)}*{of}"] if fee.share else []
        parts += [self.at(fee.name + FIXED)] if fee.fixed else []
        return half_up("+".join(parts), self.digits)

    def stepped(self, value: str, steps: str) -> str:
        """A figure rounded up to minor digits, then to the shop's step of prices, and the steps in a row added."""
        fine = rounded_up_formula(f"({value})", self.digits)
        return f"(-INT(-ROUND(({fine})/round_to,7))+{self.at(steps)})*round_to"

    def at(self, name: str) -> str:
        """The cell of a figure."""
        return f"{self.letter}{self.rows[name]}"

    def formula(
        self, name: str, formula: str, value: Decimal | float, look: Look = "plain", shape: str = ""
    ) -> None:
        """A cell that follows from others."""
        self.page.formula(self.at(name), formula, value, shape, look)

    def grey(self, name: str, value: float, shape: str) -> None:
        """A cell that only the command can reckon."""
        self.page.number(self.at(name), value, shape, "grey")


def write_selling(page: Page, priced: Priced, channels: Sequence[Selling]) -> None:
    """Fill the sheet. Cost, margins, tax rate and steps of prices are those of the sheet Price and follow it."""
    page.text("A1", "What the piece can be sold for", "title")
    page.text("A2", f"{NOTE} Amounts in {priced.currency}.", "note")
    fees = [fee for one in channels for fee in one.rules.fees]
    own = [fee.name + SHARE_OF for fee in fees if fee.share]
    own += [fee.name + FIXED for fee in fees if fee.fixed]
    labels = BEFORE_FEES | {name: name for name in own} | AFTER_FEES
    for row, label in enumerate(labels.values(), start=FIRST):
        page.text(f"A{row}", label)
    rows = {name: row for row, name in enumerate(labels, start=FIRST)}
    page.heads(FIRST - 1, ("Through", *(one.name for one in channels)), "", first_figure=2)
    for number, one in enumerate(channels, start=2):
        Column(page, priced, one, get_column_letter(number), rows).write()
