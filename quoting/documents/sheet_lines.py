"""The sheet "Lines": every line of cost, quantity x rate = amount."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.lines import MATERIAL_GROUPS
from quoting.documents.cells import rounded
from quoting.documents.sheet_looks import COUNT, SHARE, money_format, rate_format
from quoting.documents.sheet_paper import fit
from quoting.money import PLACES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quoting.documents.cells import Page
    from quoting.pricing.record import Priced, PricedLine

FIRST = 2
JOB_GROUPS = ("sundries", "carriage", "overhead", "delivery_carried", "channel")
"""Groups of lines that rest on the other lines; they come after all of them."""
SHARE_UNITS = ("of materials", "of cost")
COUNTED = ("each", "sheet", "piece", "pair", "set", "pack", "tube", "roll", "panel", "order", "trip")


class Fields(NamedTuple):
    """Cell ranges of the lines, as formulas of other sheets write them."""

    trade: str
    amount: str


def trade_name(trade: str) -> str:
    """The name of a group as the sheet shows it, and as sums by group ask for it."""
    return trade.replace("_", " ")


def write_lines(page: Page, priced: Priced, rates: Mapping[str, str]) -> Fields:
    """Fill the sheet. `rates` are the cells of the hourly rates by name."""
    money = priced.currency
    heads = (
        "Line", "Trade", "Part", "Item", "Stage", "Quantity [unit]", "Unit", f"Rate [{money} a unit]",
        f"Amount [{money}]", "Supplied", "Basis", "Source",
    )  # fmt: skip
    page.heads(1, heads, figures="FHI")
    own = sum(1 for line in priced.lines if line.trade not in JOB_GROUPS)
    for row, line in enumerate(priced.lines, start=FIRST):
        _write_words(page, row, line)
        _write_quantity(page, row, line, FIRST + own - 1)
        _write_rate(page, row, line, rates)
        # The engine trusts a float to 9 decimals before it rounds half-up; so does the cell.
        amount = rounded(rounded(f"F{row}*H{row}", PLACES), priced.digits)
        page.formula(f"I{row}", amount, line.amount)
    last = FIRST + len(priced.lines) - 1
    page.text(f"A{last + 1}", "Planned cost", "sum")
    total = rounded(f"SUM(I{FIRST}:I{last})", priced.digits)
    page.formula(f"I{last + 1}", total, priced.cost["planned"], look="sum")
    fit(page.sheet, A=30, B=12, C=20, D=20, E=11, F=11, G=10, H=15, I=15, J=10, K=52, L=34)
    return Fields(*(f"Lines!${letter}${FIRST}:${letter}${last}" for letter in "BI"))


def _write_words(page: Page, row: int, line: PricedLine) -> None:
    words = {
        "A": line.id, "B": trade_name(line.trade), "C": line.part, "D": line.item, "E": line.stage,
        "G": line.unit, "J": line.supplied if line.trade in MATERIAL_GROUPS else "", "K": line.basis, "L": line.source,
    }  # fmt: skip
    for letter, text in words.items():
        page.text(f"{letter}{row}", text, "wrap")


def _write_quantity(page: Page, row: int, line: PricedLine, last_own: int) -> None:
    """An input, unless it rests on other lines (a formula) or moves in steps (grey: run again)."""
    at, shape = f"F{row}", _quantity_format(line, page.digits)
    formula = _resting_on(line, row, last_own)
    if formula:
        page.formula(at, formula, line.quantity, shape)
    elif _in_steps(line):
        page.number(at, line.quantity, shape, "grey")
    else:
        page.amount_input(at, line.quantity, shape)


def _quantity_format(line: PricedLine, digits: int) -> str:
    if line.unit in SHARE_UNITS:
        return money_format(digits)
    if line.unit in COUNTED and line.quantity % 1 == 0:
        return COUNT
    return "#,##0.00##"  # fine enough to reach the amount by hand


def _resting_on(line: PricedLine, row: int, last_own: int) -> str:
    """The formula of a quantity that rests on other lines; "" where it rests on none.

    Amounts are taken before rounding, as the engine does.
    """
    if last_own < FIRST:
        return ""

    def column(letter: str, last: int = last_own) -> str:
        return f"${letter}${FIRST}:${letter}${last}"

    if line.trade in ("overhead", "sundries") and line.unit == "h":
        hours = (
            f'SUMIFS({column("F")},{column("B")},"{trade}",{column("G")},"h")'
            for trade in ("labour", "setback")
        )
        return "+".join(hours)
    if line.trade == "sundries":
        groups = ",".join(f'"{trade_name(group)}"' for group in MATERIAL_GROUPS)
        chosen = f"ISNUMBER(MATCH({column('B')},{{{groups}}},0))"
        return f"SUMPRODUCT({chosen}*{column('F')}*{column('H')})"
    if line.trade == "channel":
        return f"SUMPRODUCT({column('F', row - 1)},{column('H', row - 1)})"
    return ""


def _in_steps(line: PricedLine) -> bool:
    """True for whole packs, carriage that ends at an order's size, and the trip."""
    return line.id.endswith(".packs") or line.trade in (
        "carriage",
        "delivery_carried",
        "overhead",
        "sundries",
        "channel",
    )


def _write_rate(page: Page, row: int, line: PricedLine, rates: Mapping[str, str]) -> None:
    """Hours refer to the sheet "Rates"; whole packs, the trip and a client's own thing are grey."""
    at = f"H{row}"
    shape = SHARE if line.unit in SHARE_UNITS else rate_format(page.digits)
    names = {"labour": f"pay.{line.item}", "setback": f"pay.{line.item}", "machine": f"machine.{line.item}"}
    name = "overhead" if line.trade == "overhead" else names.get(line.trade, "")
    if line.unit == "h" and name in rates:
        page.formula(at, rates[name], line.rate, shape)
    elif line.id.endswith(".packs") or line.trade == "delivery_carried" or line.supplied == "client":
        page.number(at, line.rate, shape, "grey")
    else:
        page.amount_input(at, line.rate, shape)
