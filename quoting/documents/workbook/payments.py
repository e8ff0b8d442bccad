"""Payments: on "Price" what is paid when, on "Steps" how net and tax are shared out by largest remainder."""

from decimal import Decimal
from typing import NamedTuple

from quoting.documents.workbook.cells import Page, half_up, rounded
from quoting.documents.workbook.looks import SHARE
from quoting.documents.workbook.open_cells import amount_input, share_input
from quoting.documents.workbook.rounding import CHOSEN
from quoting.job.selling import Stage
from quoting.money import shared_out
from quoting.pricing.chain import fixed_part, share, waits_with_tax
from quoting.pricing.record import Priced

HEAD_ROW = CHOSEN + 5
FIRST = HEAD_ROW + 1
LEFT_ROW = CHOSEN + 3  # what amounts leave of net (D) and tax (H), to be shared out


class Part(NamedTuple):
    """A stage's part of what is shared out: wanted minor units, their remainder, its place, the part."""

    wanted: Decimal
    remainder: Decimal
    place: int
    part: Decimal


def stages_of(priced: Priced) -> tuple[Stage, ...]:
    """The stages of payment: the job's own, else the shop's."""
    return priced.job.quote.stages or priced.shop.terms.stages


def write_sharing(page: Page, priced: Priced, first_row: int) -> None:
    """Fill the second part of "Steps". `first_row` is the row of the first payment on "Price"."""
    stages, chain, digits = stages_of(priced), priced.chain, priced.digits
    last = FIRST + len(stages) - 1
    fixed = [_of_amount(stages, position, priced) for position in range(len(stages))]
    net_left = chain.net - sum((net for net, _ in fixed), Decimal(0))
    tax_left = chain.tax - sum((tax for _, tax in fixed), Decimal(0))
    words = "Payments: net and tax shared out in smallest coins; those left over go to the largest remainders"
    page.text(f"A{LEFT_ROW - 1}", words, "sum")
    page.text(f"A{LEFT_ROW}", "Left after fixed amounts, net and tax")
    page.formula(f"D{LEFT_ROW}", rounded(f"net_price-SUM(B{FIRST}:B{last})", digits), net_left)
    page.formula(f"H{LEFT_ROW}", rounded(f"tax_amount-SUM(C{FIRST}:C{last})", digits), tax_left)
    block = ("Wanted coins", "Remainder", "Place")
    heads = ("Payment", "Net of amount", "Tax of amount", *block, "Net part", *block, "Tax part")
    page.heads(HEAD_ROW, heads, figures="BCDEFGHIJK")
    for number, (stage, (net, tax)) in enumerate(zip(stages, fixed, strict=True)):
        row, amount = FIRST + number, f"Price!$F${first_row + number}"
        page.text(f"A{row}", stage.name)
        in_proportion = f"IF(total_price=0,0,{half_up(f'{amount}*net_price/total_price', digits)})"
        page.formula(f"B{row}", amount if waits_with_tax(stages, number) else in_proportion, net)
        page.formula(f"C{row}", f"{amount}-B{row}", tax)
    weights = [share(stage.share or 0.0) for stage in stages]
    shares = f"Price!$E${first_row}:$E${first_row + len(stages) - 1}"
    for column, amount_left in (("D", net_left), ("H", tax_left)):
        _write_block(page, column, f"${column}${LEFT_ROW}", shares, _parts(amount_left, weights, digits))


def _of_amount(stages: tuple[Stage, ...], position: int, priced: Priced) -> tuple[Decimal, Decimal]:
    """Net and tax in a payment of a fixed amount; nothing for a share."""
    if stages[position].amount is None:
        return Decimal(0), Decimal(0)
    untaxed = waits_with_tax(stages, position)
    return fixed_part(stages[position], untaxed, priced.chain.net, priced.chain.tax, priced.digits)


def _parts(total: Decimal, weights: list[Decimal], digits: int) -> list[Part]:
    wanted = [abs(total).scaleb(digits) * weight / sum(weights) for weight in weights]
    remainders = [one - int(one) for one in wanted]
    order = sorted(range(len(weights)), key=lambda i: (-remainders[i], i))
    parts = shared_out(total, weights, digits)
    return [Part(wanted[i], remainders[i], order.index(i) + 1, parts[i]) for i in range(len(weights))]


def _write_block(page: Page, column: str, left: str, shares: str, parts: list[Part]) -> None:
    """Four columns: wanted coins, remainder, place by remainder (ties to the first), and the part."""
    wanted, remainder, place, part = (chr(ord(column) + i) for i in range(4))
    last = FIRST + len(parts) - 1
    all_left = f"${remainder}${FIRST}:${remainder}${last}"
    coin = 10**page.digits
    for number, one in enumerate(parts):
        row = FIRST + number
        own, above = f"{remainder}{row}", f"{remainder}${FIRST}:{remainder}{row}"
        weight = f"INDEX({shares},{number + 1})/SUM({shares})"
        page.formula(f"{wanted}{row}", f"ABS({left})*{coin}*{weight}", one.wanted, "0.0###")
        page.formula(own, f"ROUND({wanted}{row}-INT(ROUND({wanted}{row},6)),6)", one.remainder, "0.0###")
        larger = f"SUMPRODUCT(--({all_left}>{own}))+SUMPRODUCT(--({above}={own}))"
        page.formula(f"{place}{row}", larger, one.place, "0")
        coins = f"INT(ROUND({wanted}{row},6))+IF({place}{row}<=ROUND(SUM({all_left}),0),1,0)"
        page.formula(f"{part}{row}", f"IF({left}<0,-1,1)*({coins})/{coin}", one.part)


def write_payments(page: Page, priced: Priced, head_row: int) -> None:
    """The payments on "Price", from `head_row` on: total, net, tax, the share or amount, when due."""
    stages, digits = stages_of(priced), priced.digits
    money = f"[{priced.currency}]"
    amounts = (f"{words} {money}" for words in ("Total", "Net", "Tax"))
    page.heads(head_row, ("Payment", *amounts, "Share", f"Amount {money}", "Taxed, due"), figures="BCDEF")
    last = len(stages) - 1
    first_row = head_row + 1
    for number, (stage, paid) in enumerate(zip(stages, priced.payments, strict=True)):
        row, step_row = first_row + number, FIRST + number
        taxed = [] if waits_with_tax(stages, number) else [number]
        if number == last:  # it bears the tax of all that wait
            taxed = [last, *(i for i in range(last) if waits_with_tax(stages, i))]
        own_tax = "+".join(f"Steps!$C${FIRST + i}+Steps!$K${FIRST + i}" for i in taxed) or "0"
        page.text(f"A{row}", stage.name, "wrap")
        page.formula(f"B{row}", rounded(f"C{row}+D{row}", digits), paid.total)
        page.formula(f"C{row}", rounded(f"Steps!$B${step_row}+Steps!$G${step_row}", digits), paid.net)
        page.formula(f"D{row}", rounded(own_tax, digits), paid.tax)
        if stage.amount is None:
            share_input(page, f"E{row}", stage.share or 0.0, whole=True)
            page.money(f"F{row}", 0, "grey")
        else:
            page.number(f"E{row}", 0, SHARE, "grey")
            amount_input(page, f"F{row}", stage.amount)
        page.text(f"G{row}", f"{stage.taxed}; {stage.due}" if stage.due else stage.taxed, "wrap")
    end = first_row + len(stages)
    page.text(f"A{end}", "All payments", "sum")
    sums = (priced.chain.total, priced.chain.net, priced.chain.tax)
    for letter, value in zip("BCD", sums, strict=True):
        total = rounded(f"SUM({letter}{first_row}:{letter}{end - 1})", digits)
        page.formula(f"{letter}{end}", total, value, look="sum")
    if any(stage.share for stage in stages):
        shares = sum(stage.share or 0.0 for stage in stages)
        page.formula(f"E{end}", f"SUM(E{first_row}:E{end - 1})", shares, SHARE, "sum")
        whole = f'IF(ABS(E{end}-1)<0.000001,"","shares do not add up to 100 %")'
        page.formula(f"G{end}", whole, "", "@", "bold")
