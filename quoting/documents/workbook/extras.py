"""The sheets beside the price: "Cuts" and "Risk", which no formula can fill, and "Selling", through each channel."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from openpyxl.utils import get_column_letter

from quoting.cut_plans.words import stock_words
from quoting.documents.pictures.price import risk_picture
from quoting.documents.workbook.cells import SHARE, Look, Page, half_up, rounded
from quoting.documents.workbook.steps import rounded_up_formula
from quoting.measures.showing import unit_shown
from quoting.pricing.chain import SET_ASIDE, FeeShare, left_for_cost
from quoting.pricing.channels import Selling, at_floor, steps_added
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced
from quoting.pricing.sale import Sale
from quoting.takeoff.delivery import channel_of
from quoting.takeoff.stock import Offcut, SawnPiece

CUTS, RISK, SELLING = "Cuts", "Risk", "Selling"
SIZE, TENTHS, WHOLE = "#,##0.###", "0.0%", "#,##0"
TENTH_M = 0.1  # a size in the unit of blanks, not of rooms
LEVELS = ("1 in 10 builds", "half of all builds", "8 in 10 builds", "9 in 10 builds")

FIRST_FIGURE = 5
NOTE = (
    "Cost, margins and tax follow the sheet Price. Grey cells (the trip, packing, fees) do not follow pay or speed:"
    " write this workbook again."
)
BEFORE_FEES = {
    "reserve": "Cost with reserve, from the sheet Price",
    "own": "Own delivery and waiting of this job, taken out",
    "added": "Packing, and bringing it within the free distance",
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


def write_cuts(page: Page, priced: Priced) -> None:
    """Fill the sheet: stock by the number that blanks and offcuts name it by, blanks, offcuts that are kept."""
    system, money = priced.shop.shop.units, f"[{priced.currency}]"
    unit, size = unit_shown(TENTH_M, "length", system)
    placed = [f"{words} [{unit}]" for words in ("From the end", "From the edge", "Length", "Width")]
    every = ((plan.item, stock) for plan in priced.plans for stock in plan.stocks)
    stocks = [((number, "0"), item, stock) for number, (item, stock) in enumerate(every, start=1)]

    def table(row: int, title: str, heads: Sequence[str], figures: str, rows: Iterable[Sequence[Any]]) -> int:
        page.text(f"A{row}", title, "bold")
        page.heads(row + 1, heads, figures)
        return page.rows(row + 2, rows) + 1

    def place(one: SawnPiece | Offcut) -> list[Any]:
        return [(m / size, SIZE) for m in (one.x_m, one.y_m, one.length_m, one.width_m)]

    page.text("A1", "Cut plan", "title")
    words = "What the take-off of these items rests on. Changed sizes or prices want a new plan: write this workbook again."
    page.text("A2", words, "note")
    charged = (f"Price of one {money}", "Charged", f"Charged in all {money}")
    row = table(4, "Stock that is cut", ("Stock", "Item", "Size and source", "Number", *charged), "ADEFG", (
        [
            number, item, (stock_words(stock, system), "wrap"), (stock.number, "0"), stock.price,
            (stock.used, TENTHS), stock.price * stock.used * stock.number,
        ]
        for number, item, stock in stocks
    ))  # fmt: skip
    row = table(row, "Blanks", ("Stock", "Item", "Blank for", "Panel", *placed), "ADEFGH", (
        [number, item, (piece.part, "wrap"), (piece.panel or None, "0"), *place(piece)]
        for number, item, stock in stocks for piece in stock.pieces
    ))  # fmt: skip
    kept = ("Stock", "Item", "Number", f"Worth of one {money}", *placed)
    table(row, "Offcuts that are kept", kept, "ACDEFGH", (
        [number, item, (stock.number, "0"), left.worth, *place(left)]
        for number, item, stock in stocks for left in stock.offcuts if left.kept
    ))  # fmt: skip


def write_risk(page: Page, priced: Priced, sure: Outlook) -> None:
    """Fill the sheet: bands of cost, chances, and every input with its ends and its share; and their picture."""

    def whole(amount: float) -> tuple[float, str]:
        return round(amount), WHOLE

    page.text("A1", "How sure the price is", "title")
    drawn = f"{sure.draws:,} builds drawn with seed {sure.seed}; write this workbook again after changes."
    page.text("A2", drawn, "note")
    money = f"[{priced.currency}]"
    heads = ("Cost, delivery included", f"costs less than {money}", f"give or take {money}", "margin then")
    page.heads(4, heads, "BCD")
    bands: list[Sequence[Any]] = [
        (words, whole(one.value), (round(one.error, 1), "#,##0.0"), (margin, TENTHS))
        for words, one, margin in zip(LEVELS, sure.cost, sure.margins, strict=True)
    ]
    bands.append(("The plan: every input at its likely value", whole(sure.plan)))
    row = page.rows(5, bands, "grey") + 1
    page.heads(row, ("At the price of this workbook's files", "of builds"), "B")
    chances: list[Sequence[Any]] = [
        ("meet the plan", (sure.met.share, TENTHS)),
        ("lose money", (sure.loses.share, TENTHS)),
        ("stay below the floor", (sure.misses_floor.share, TENTHS)),
        ("stay below the margin asked", (sure.misses_margin.share, TENTHS)),
        ("Price that keeps the margin where 8 in 10 builds cost less", sure.covering),
    ]
    row = page.rows(row + 1, chances, "grey") + 1
    ends = (f"at its low {money}", f"at its high {money}", "share of what is unsure", "range")
    page.heads(row, ("What moves the cost", *ends), "BCD")
    drivers = (
        (one.name, whole(one.at_low), whole(one.at_high), (max(one.share, 0.0), TENTHS), one.words)
        for one in (*sure.drivers, *sure.setbacks)
    )
    page.rows(row + 1, drivers, "grey")
    page.picture("H2", risk_picture(priced, sure))


@dataclass(frozen=True, slots=True)
class Column:
    """A channel's column, and the row of every figure."""

    page: Page
    priced: Priced
    one: Selling
    letter: str
    rows: dict[str, int]

    def write(self) -> None:
        """All figures of the channel; where its fees leave no price, why."""
        one, at, digits, reserve = self.one, self.at, self.page.digits, self.priced.chain.with_reserve
        self.formula("reserve", "with_reserve", reserve)
        self.grey("own", one.cost / (1 + one.waiting) - one.added - float(reserve))
        self.grey("added", one.added)
        self.grey("waiting", one.waiting, SHARE)
        cost = f"({at('reserve')}+{at('own')}+{at('added')})*(1+{at('waiting')})"
        self.formula("cost", half_up(cost, digits), round(one.cost, digits), "sum")
        # The tax rate follows the sheet Price, but where this channel, or that of the job, charges its own.
        if one.own_tax or channel_of(self.priced.job, self.priced.shop).tax is not None:
            self.grey("tax", float(one.rules.tax), SHARE)
        else:
            self.formula("tax", "tax_rate", one.rules.tax, shape=SHARE)
        for fee in one.rules.fees:
            if fee.share:
                self.grey(fee.name + SHARE_OF, float(fee.share), SHARE)
            if fee.fixed:
                self.grey(fee.name + FIXED, float(fee.fixed))
        if one.list_price is None or one.floor_price is None:
            self.page.text(at("listed"), one.trouble, "wrap")
        else:
            self.prices(one.list_price, one.floor_price)

    def prices(self, listed: Sale, least: Sale) -> None:
        """List price and least price, and what is left of the list price."""
        rules, digits = self.one.rules, self.page.digits
        cost, tax, asked, net = (self.at(name) for name in ("cost", "tax", "listed", "net"))
        factor = f'IF(tax_shown="included",1+{tax},1)'
        fixed = "+".join(self.at(name) for name in self.rows if name.endswith(FIXED)) or "0"
        charged = {
            on: "+".join(self.at(fee.name + SHARE_OF) for fee in rules.fees if fee.on == on and fee.share)
            or "0"
            for on in ("net", "total")
        }
        for name, margin, share in (
            ("left", "margin_wanted", rules.margin),
            ("floor_left", "floor_margin", rules.floor),
        ):
            formula = f"1-{margin}-({charged['net']})-({charged['total']})*(1+{tax})"
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

    def fee(self, fee: FeeShare, of: str) -> str:
        """A fee rounded to minor digits: its share of a price, and its fixed amount."""
        parts = [f"{self.at(fee.name + SHARE_OF)}*{of}"] if fee.share else []
        parts += [self.at(fee.name + FIXED)] if fee.fixed else []
        return half_up("+".join(parts), self.page.digits)

    def stepped(self, value: str, steps: str) -> str:
        """A figure rounded up to minor digits, then to the shop's step of prices, and the steps in a row added."""
        fine = rounded_up_formula(f"({value})", self.page.digits)
        return f"(-INT(-ROUND(({fine})/round_to,7))+{self.at(steps)})*round_to"

    def at(self, name: str) -> str:
        """The cell of a figure."""
        return f"{self.letter}{self.rows[name]}"

    def formula(
        self, name: str, formula: str, value: Decimal | float, look: Look = "plain", shape: str = ""
    ) -> None:
        """A cell that follows from others."""
        self.page.formula(self.at(name), formula, value, shape, look)

    def grey(self, name: str, value: float, shape: str = "") -> None:
        """A cell that no formula can reckon."""
        self.page.number(self.at(name), value, shape, "grey")


def write_selling(page: Page, priced: Priced, channels: Sequence[Selling]) -> None:
    """Fill the sheet. Cost, margins, tax rate and steps of prices are those of the sheet Price and follow it."""
    page.text("A1", "What the piece can be sold for", "title")
    page.text("A2", f"{NOTE} Amounts in {priced.currency}.", "note")
    fees = [fee for one in channels for fee in one.rules.fees]
    own = [fee.name + SHARE_OF for fee in fees if fee.share]
    own += [fee.name + FIXED for fee in fees if fee.fixed]
    labels = BEFORE_FEES | {name: name for name in own} | AFTER_FEES
    page.rows(FIRST_FIGURE, ((label,) for label in labels.values()))
    rows = {name: row for row, name in enumerate(labels, start=FIRST_FIGURE)}
    page.heads(FIRST_FIGURE - 1, ("Through", *(one.name for one in channels)), "", first_figure=2)
    for number, one in enumerate(channels, start=2):
        Column(page, priced, one, get_column_letter(number), rows).write()
