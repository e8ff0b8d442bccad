"""The sheet "Steps", first part: how the price that the client sees is rounded up.

The figure is rounded up to a multiple before the discount comes off. Rounding the discount to minor
digits may then cost the margin a fraction of a coin; the next multiple is tried until it does not.
"""

from decimal import Decimal
from typing import NamedTuple

from quoting.documents.workbook.cells import Page, half_up
from quoting.documents.workbook.looks import rate_format
from quoting.money import exact, rounded_up, step
from quoting.pricing.chain import Rules, exact_up, goods_price
from quoting.pricing.record import Priced

FIRST, TRIES = 9, 24  # one try is the rule; a discount of 97 % on steps of a cent has been seen to take ten
LAST = FIRST + TRIES - 1
CHOSEN = LAST + 1


class Try(NamedTuple):
    """A list price as the client sees it, what comes off, both net, and whether the margin holds."""

    seen: Decimal
    off: Decimal
    goods: Decimal
    discount: Decimal
    holds: bool


def tries(price: Decimal, first: Decimal, rules: Rules) -> list[Try]:
    """The multiples that the sheet tries, from the first one upwards."""
    factor = 1 + rules.tax if rules.included else Decimal(1)
    found = []
    for number in range(TRIES):
        seen = first + number * rules.round_to
        off = exact(seen * rules.discount_share + rules.discount_amount, rules.digits)
        goods, discount = exact(seen / factor, rules.digits), exact(off / factor, rules.digits)
        found.append(Try(seen, off, goods, discount, goods - discount >= price - step(rules.digits) / 2))
    return found


def rounded_up_formula(value: str, digits: int) -> str:
    """A value rounded up to minor digits, without the noise that a spreadsheet's numbers carry.

    In units of the smallest coin, 9 decimals of money (7 of a coin at least) are trusted: INT then
    meets whole numbers.
    """
    trusted = 9 - max(digits, 2)
    return f"-INT(-ROUND({value}*{10**digits},{trusted}))/{10**digits}"


def write_rounding(page: Page, priced: Priced) -> None:
    """Fill the rows up to `CHOSEN`: the tries, and the number of the first that holds the margin."""
    rules, digits = priced.rules, priced.digits
    price, _ = goods_price(priced.chain.with_reserve, rules)
    factor = 1 + rules.tax if rules.included else Decimal(1)
    # A job has a share or an amount; whoever types both into the sheet gets both off, the margin held.
    wanted = (price + rules.discount_amount / factor) / (1 - rules.discount_share) * factor
    coins = exact_up(wanted, digits)
    first = rounded_up(coins, rules.round_to)
    found = tries(price, first, rules)
    fine = rate_format(digits)
    page.text("A1", "Steps that the sheet Price rests on", "title")
    page.text("A2", "Nothing is written here: it shows how figures are rounded.", "note")
    page.text("A3", "1 + tax rate, where the client sees prices with tax; else 1")
    page.formula("D3", 'IF(tax_shown="included",1+tax_rate,1)', factor, "0.0###")
    page.text("A4", f"Figure to be seen by the client, before rounding [{priced.currency}]")
    page.formula("D4", "(price_wanted+discount_amount/D3)/(1-discount_share)*D3", wanted, fine)
    page.text("A5", f"rounded up to the smallest coin [{priced.currency}]")
    page.formula("D5", rounded_up_formula("D4", digits), coins)
    page.text("A6", f"rounded up to a whole multiple [{priced.currency}]")
    page.formula("D6", "-INT(-ROUND(D5/round_to,9))*round_to", first, fine)
    heads = ("Try", "Seen", "Off", "Goods, net", "Discount, net", "Holds the margin")
    page.heads(FIRST - 1, heads, figures="BCDEF")
    coin = f"0.5/{10**digits}"  # half of the smallest coin is left to rounding
    for number, one in enumerate(found):
        row = FIRST + number
        page.number(f"A{row}", number + 1, "0")
        page.formula(f"B{row}", f"$D$6+{number}*round_to", one.seen, fine)
        page.formula(f"C{row}", half_up(f"B{row}*discount_share+discount_amount", digits), one.off)
        page.formula(f"D{row}", half_up(f"B{row}/$D$3", digits), one.goods)
        page.formula(f"E{row}", half_up(f"C{row}/$D$3", digits), one.discount)
        page.formula(f"F{row}", f"IF(ROUND(D{row}-E{row}-price_wanted+{coin},9)>=0,1,0)", int(one.holds), "0")
    first_held = next((n for n, one in enumerate(found, start=1) if one.holds), TRIES)
    page.text(f"A{CHOSEN}", "The first that holds the margin", "sum")
    page.formula(f"D{CHOSEN}", f"MATCH(1,F{FIRST}:F{LAST},0)", first_held, "0", "sum")


def chosen(letter: str) -> str:
    """The formula of a column of the chosen try: B seen, C off, D goods, E discount."""
    return f"INDEX(Steps!${letter}${FIRST}:${letter}${LAST},Steps!$D${CHOSEN})"
