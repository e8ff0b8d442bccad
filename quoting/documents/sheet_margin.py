"""The sheet "Price": fees before the price, and what the price leaves."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.documents.cells import half_up, rounded
from quoting.documents.open_cells import amount_input, choice_input, share_input
from quoting.documents.sheet_head import BELOW, NOT_BELOW, verdict
from quoting.documents.sheet_inputs import CHANGED
from quoting.documents.sheet_looks import SHARE, rate_format

if TYPE_CHECKING:
    from quoting.documents.sheet_rows import PriceRows


def write_fees(rows: PriceRows) -> None:
    """Every fee of the sale: a share of the net price or of the total with tax, and a fixed amount."""
    priced, page, digits = rows.priced, rows.page, rows.priced.digits
    fees = priced.rules.fees
    rows.head(
        "Fees and what is kept back",
        f"Amount [{priced.currency}]",
        "Share",
        "Fixed, all payments",
        "Share of",
    )
    first, last = rows.row, rows.row + len(fees) - 1
    for row, fee in enumerate(fees, start=first):
        page.text(f"A{row}", fee.name, "wrap")
        amount = half_up(f'C{row}*IF(E{row}="total",total_price,net_price)+D{row}', digits)
        page.formula(f"B{row}", amount, priced.chain.fees.get(fee.name, Decimal(0)))
        share_input(page, f"C{row}", fee.share)
        amount_input(page, f"D{row}", fee.fixed, rate_format(digits))
        choice_input(page, f"E{row}", fee.on, ("net", "total"))
        same = f'AND(C{row}={float(fee.share)!r},D{row}={float(fee.fixed)!r},E{row}="{fee.on}")'
        page.formula(f"F{row}", f'IF({same},"","{CHANGED}")', "", "@", "note")
        rows.marks.append(f"Price!$F${row}")
    rows.row = last + 1
    total = rounded(f"SUM(B{first}:B{last})", digits)
    rows.reckoned("All fees", "fee_total", total, priced.chain.fee_total, look="sum")
    fixed = sum((fee.fixed for fee in fees), Decimal(0))
    rows.reckoned("Fixed fees", "fixed_fees", f"SUM(D{first}:D{last})", fixed, shape=rate_format(digits))
    for on, words in (("net", "Shares of the net price"), ("total", "Shares of the total with tax")):
        value = sum((fee.share for fee in fees if fee.on == on), Decimal(0))
        shares = f'SUMIFS(C{first}:C{last},E{first}:E{last},"{on}")'
        rows.reckoned(words, f"fees_on_{on}", shares, value, shape=SHARE)


def write_left(rows: PriceRows) -> None:
    """What the price leaves: margin and markup after discount and fees, and the floor."""
    rules, chain = rows.priced.rules, rows.priced.chain
    spent = chain.with_reserve + chain.delivery_extra
    rows.head("What the price leaves", f"Amount [{rows.priced.currency}]")
    kept = rounded("net_price-fee_total-with_reserve-delivery_extra", rows.priced.digits)
    rows.reckoned("Left after cost and fees", "kept", kept, chain.net - chain.fee_total - spent)
    rows.reckoned(
        "Margin on the net price, after discount",
        "margin_left",
        "IF(net_price=0,0,kept/net_price)",
        chain.margin,
        shape=SHARE,
    )
    markup = "IF(with_reserve+delivery_extra=0,0,kept/(with_reserve+delivery_extra))"
    rows.reckoned("Markup on cost", "markup", markup, chain.markup, shape=SHARE)
    rows.share("Floor of the margin", "floor_margin", rules.floor)
    judged = f'IF(ROUND(margin_left-floor_margin,12)<0,"{BELOW}","{NOT_BELOW}")'
    rows.reckoned("The margin is", "floor_verdict", judged, verdict(rows.priced))
