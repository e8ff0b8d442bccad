"""The sheet "Steps", how the price and its payments are rounded, and the payments that rest on it on the sheet "Price"."""

from decimal import Decimal

from quoting.documents.workbook.cells import SHARE, Page, half_up, rate_format, rounded
from quoting.documents.workbook.inputs import amount_input, share_input
from quoting.job.selling import PaymentTerm
from quoting.money import exact, rounded_up, shared_out, step
from quoting.pricing.chain import exact_up, goods_price, share
from quoting.pricing.payments import fixed_part, waits_with_tax
from quoting.pricing.record import Priced

TRIES = 24  # one is the rule; a discount of 97 % on steps of a cent has been seen to take ten
FIRST_TRY = 9
LAST_TRY = FIRST_TRY + TRIES - 1
CHOSEN = LAST_TRY + 1
LEFT_ROW = CHOSEN + 3  # what amounts leave of net (D) and tax (H), to be shared out
SHARING_HEAD = CHOSEN + 5
FIRST_SHARED = SHARING_HEAD + 1


def rounded_up_formula(value: str, digits: int) -> str:
    """A value rounded up to minor digits, without the noise that a spreadsheet's numbers carry.

    In units of the smallest coin, 9 decimals of money (7 of a coin at least) are trusted: INT then
    meets whole numbers.
    """
    trusted = 9 - max(digits, 2)
    return f"-INT(-ROUND({value}*{10**digits},{trusted}))/{10**digits}"


def write_rounding(page: Page, priced: Priced) -> None:
    """Fill the rows up to `CHOSEN`: how the price that the client sees is rounded up.

    The figure is rounded up to a multiple before the discount comes off. Rounding the discount to minor
    digits may then cost the margin a fraction of a coin; the next multiple is tried until it does not.
    """
    rules, digits = priced.rules, priced.digits
    price, _ = goods_price(priced.chain.with_reserve, rules)
    factor = 1 + rules.tax if rules.included else Decimal(1)
    # A job has a share or an amount; whoever types both into the sheet gets both off, the margin held.
    wanted = (price + rules.discount_amount / factor) / (1 - rules.discount_share) * factor
    coins = exact_up(wanted, digits)
    first = rounded_up(coins, rules.round_to)
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
    page.heads(FIRST_TRY - 1, heads, figures="BCDEF")
    coin = f"0.5/{10**digits}"  # half of the smallest coin is left to rounding
    held = []
    for row, number in enumerate(range(TRIES), start=FIRST_TRY):
        seen = first + number * rules.round_to
        off = exact(seen * rules.discount_share + rules.discount_amount, digits)
        goods, discount = exact(seen / factor, digits), exact(off / factor, digits)
        holds = goods - discount >= price - step(digits) / 2
        held += [number + 1] if holds else []
        page.number(f"A{row}", number + 1, "0")
        page.formula(f"B{row}", f"$D$6+{number}*round_to", seen, fine)
        page.formula(f"C{row}", half_up(f"B{row}*discount_share+discount_amount", digits), off)
        page.formula(f"D{row}", half_up(f"B{row}/$D$3", digits), goods)
        page.formula(f"E{row}", half_up(f"C{row}/$D$3", digits), discount)
        page.formula(f"F{row}", f"IF(ROUND(D{row}-E{row}-price_wanted+{coin},9)>=0,1,0)", int(holds), "0")
    page.text(f"A{CHOSEN}", "The first that holds the margin", "sum")
    chosen_try = held[0] if held else TRIES
    page.formula(f"D{CHOSEN}", f"MATCH(1,F{FIRST_TRY}:F{LAST_TRY},0)", chosen_try, "0", "sum")


def chosen(letter: str) -> str:
    """The formula of a column of the chosen try: B seen, C off, D goods, E discount."""
    return f"INDEX(Steps!${letter}${FIRST_TRY}:${letter}${LAST_TRY},Steps!$D${CHOSEN})"


def payment_terms(priced: Priced) -> tuple[PaymentTerm, ...]:
    """What is paid when: the job's own, else the shop's."""
    return priced.job.quote.payments or priced.shop.terms.payments


def write_sharing(page: Page, priced: Priced, first_row: int) -> None:
    """Fill the second part of "Steps". `first_row` is the row of the first payment on "Price"."""
    terms, chain, digits = payment_terms(priced), priced.chain, priced.digits
    last = FIRST_SHARED + len(terms) - 1
    fixed = [
        fixed_part(term, waits_with_tax(terms, number), chain.net, chain.tax, digits)
        for number, term in enumerate(terms)
    ]
    net_left = chain.net - sum((net for net, _ in fixed), Decimal(0))
    tax_left = chain.tax - sum((tax for _, tax in fixed), Decimal(0))
    words = "Payments: net and tax shared out in smallest coins; those left over go to the largest remainders"
    page.text(f"A{LEFT_ROW - 1}", words, "sum")
    page.text(f"A{LEFT_ROW}", "Left after fixed amounts, net and tax")
    page.formula(f"D{LEFT_ROW}", rounded(f"net_price-SUM(B{FIRST_SHARED}:B{last})", digits), net_left)
    page.formula(f"H{LEFT_ROW}", rounded(f"tax_amount-SUM(C{FIRST_SHARED}:C{last})", digits), tax_left)
    block = ("Wanted coins", "Remainder", "Place")
    heads = ("Payment", "Net of amount", "Tax of amount", *block, "Net part", *block, "Tax part")
    page.heads(SHARING_HEAD, heads, figures="BCDEFGHIJK")
    for number, (term, (net, tax)) in enumerate(zip(terms, fixed, strict=True)):
        row, amount = FIRST_SHARED + number, f"Price!$F${first_row + number}"
        page.text(f"A{row}", term.name)
        in_proportion = f"IF(total_price=0,0,{half_up(f'{amount}*net_price/total_price', digits)})"
        page.formula(f"B{row}", amount if waits_with_tax(terms, number) else in_proportion, net)
        page.formula(f"C{row}", f"{amount}-B{row}", tax)
    weights = [share(term.share or 0.0) for term in terms]
    shares = f"Price!$E${first_row}:$E${first_row + len(terms) - 1}"
    _write_block(page, "D", shares, net_left, weights)
    _write_block(page, "H", shares, tax_left, weights)


def _write_block(page: Page, column: str, shares: str, total: Decimal, weights: list[Decimal]) -> None:
    """Four columns of a total shared out: wanted coins, remainder, place by remainder (ties to the first), and the part."""
    wanted, remainder, place, part = (chr(ord(column) + i) for i in range(4))
    left, coin = f"${column}${LEFT_ROW}", 10**page.digits
    all_left = f"${remainder}${FIRST_SHARED}:${remainder}${FIRST_SHARED + len(weights) - 1}"
    coins = [abs(total).scaleb(page.digits) * weight / sum(weights) for weight in weights]
    remainders = [one - int(one) for one in coins]
    order = sorted(range(len(weights)), key=lambda i: (-remainders[i], i))
    for number, shared in enumerate(shared_out(total, weights, page.digits)):
        row = FIRST_SHARED + number
        own, above = f"{remainder}{row}", f"{remainder}${FIRST_SHARED}:{remainder}{row}"
        weight = f"INDEX({shares},{number + 1})/SUM({shares})"
        page.formula(f"{wanted}{row}", f"ABS({left})*{coin}*{weight}", coins[number], "0.0###")
        rest = f"ROUND({wanted}{row}-INT(ROUND({wanted}{row},6)),6)"
        page.formula(own, rest, remainders[number], "0.0###")
        larger = f"SUMPRODUCT(--({all_left}>{own}))+SUMPRODUCT(--({above}={own}))"
        page.formula(f"{place}{row}", larger, order.index(number) + 1, "0")
        whole = f"INT(ROUND({wanted}{row},6))+IF({place}{row}<=ROUND(SUM({all_left}),0),1,0)"
        page.formula(f"{part}{row}", f"IF({left}<0,-1,1)*({whole})/{coin}", shared)


def write_payments(page: Page, priced: Priced, head_row: int) -> None:
    """The payments on "Price", from `head_row` on: total, net, tax, the share or amount, when due."""
    terms, digits = payment_terms(priced), priced.digits
    money = f"[{priced.currency}]"
    amounts = (f"{words} {money}" for words in ("Total", "Net", "Tax"))
    page.heads(head_row, ("Payment", *amounts, "Share", f"Amount {money}", "Taxed, due"), figures="BCDEF")
    last = len(terms) - 1
    first_row = head_row + 1
    for number, (term, paid) in enumerate(zip(terms, priced.payments, strict=True)):
        row, step_row = first_row + number, FIRST_SHARED + number
        taxed = [] if waits_with_tax(terms, number) else [number]
        if number == last:  # it bears the tax of all that wait
            taxed = [last, *(i for i in range(last) if waits_with_tax(terms, i))]
        own_tax = "+".join(f"Steps!$C${FIRST_SHARED + i}+Steps!$K${FIRST_SHARED + i}" for i in taxed) or "0"
        page.text(f"A{row}", term.name, "wrap")
        page.formula(f"B{row}", rounded(f"C{row}+D{row}", digits), paid.total)
        page.formula(f"C{row}", rounded(f"Steps!$B${step_row}+Steps!$G${step_row}", digits), paid.net)
        page.formula(f"D{row}", rounded(own_tax, digits), paid.tax)
        if term.amount is None:
            share_input(page, f"E{row}", term.share or 0.0, whole=True)
            page.number(f"F{row}", 0, look="grey")
        else:
            page.number(f"E{row}", 0, SHARE, "grey")
            amount_input(page, f"F{row}", term.amount)
        page.text(f"G{row}", f"{term.taxed}; {term.due}" if term.due else term.taxed, "wrap")
    end = first_row + len(terms)
    page.text(f"A{end}", "All payments", "sum")
    sums = (priced.chain.total, priced.chain.net, priced.chain.tax)
    for letter, value in zip("BCD", sums, strict=True):
        total = rounded(f"SUM({letter}{first_row}:{letter}{end - 1})", digits)
        page.formula(f"{letter}{end}", total, value, look="sum")
    if any(term.share for term in terms):
        shares = sum(term.share or 0.0 for term in terms)
        page.formula(f"E{end}", f"SUM(E{first_row}:E{end - 1})", shares, SHARE, "sum")
        whole = f'IF(ABS(E{end}-1)<0.000001,"","shares do not add up to 100 %")'
        page.formula(f"G{end}", whole, "", "@", "bold")
