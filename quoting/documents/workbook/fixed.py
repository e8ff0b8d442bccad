"""The sheets "Cuts" and "Risk", which only the command can fill: where every blank lies, and what draws of the job say."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from openpyxl.drawing.image import Image

from quoting.cut_plans.words import stock_words
from quoting.documents.pictures.price import risk_picture
from quoting.documents.pictures.writers import png_bytes
from quoting.measures import unit_shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.documents.workbook.cells import Page
    from quoting.nesting.record import CutPlan, SawnStock
    from quoting.pricing.outlook import Outlook
    from quoting.pricing.record import Priced


CUTS = "Cuts"
SIZE = "#,##0.###"
TENTH_M = 0.1  # a size in the unit of blanks, not of rooms


RISK = "Risk"
LEVELS = ("1 in 10 builds", "half of all builds", "8 in 10 builds", "9 in 10 builds")
SHARE = "0.0%"
PICTURE_AT, PICTURE_WIDTH = "H2", 700  # pixels


def write_cuts(page: Page, priced: Priced) -> None:
    """Fill the sheet. Nothing here can be changed: a plan is made by the command."""
    page.text("A1", "Cut plan", "title")
    page.text(
        "A2",
        "What the take-off of these items rests on. Changed sizes or prices want a new plan: run the command again.",
        "note",
    )
    row = _write_stock(page, priced, 4)
    unit, size = unit_shown(TENTH_M, "length", priced.shop.shop.units)
    heads = [
        "Stock", "Item", "Blank for", "Panel", f"From the end [{unit}]", f"From the edge [{unit}]", f"Length [{unit}]",
        f"Width [{unit}]",
    ]  # fmt: skip
    page.text(f"A{row}", "Blanks", "bold")
    page.heads(row + 1, heads, "ADEFGH")
    row += 2
    for number, plan, stock in _numbered(priced):
        for piece in stock.pieces:
            page.number(f"A{row}", number, "0")
            page.text(f"B{row}", plan.item)
            page.text(f"C{row}", piece.part, "wrap")
            if piece.panel:
                page.number(f"D{row}", piece.panel, "0")
            for letter, value in zip(
                "EFGH", (piece.x_m, piece.y_m, piece.length_m, piece.width_m), strict=True
            ):
                page.number(f"{letter}{row}", value / size, SIZE)
            row += 1
    page.text(f"A{row + 1}", "Offcuts that are kept", "bold")
    page.heads(
        row + 2, ["Stock", "Item", "Number", f"Worth of one [{priced.currency}]", *heads[4:]], "ACDEFGH"
    )
    row += 3
    for number, plan, stock in _numbered(priced):
        for left in stock.offcuts:
            if left.kept:
                page.number(f"A{row}", number, "0")
                page.text(f"B{row}", plan.item)
                page.number(f"C{row}", stock.number, "0")
                page.money(f"D{row}", left.worth)
                for letter, value in zip(
                    "EFGH", (left.x_m, left.y_m, left.length_m, left.width_m), strict=True
                ):
                    page.number(f"{letter}{row}", value / size, SIZE)
                row += 1


def _write_stock(page: Page, priced: Priced, row: int) -> int:
    """Stock by the number that blanks and offcuts name it by; the first row below."""
    page.text(f"A{row}", "Stock that is cut", "bold")
    money = f"[{priced.currency}]"
    heads = [
        "Stock",
        "Item",
        "Size and source",
        "Number",
        f"Price of one {money}",
        "Charged",
        f"Charged in all {money}",
    ]
    page.heads(row + 1, heads, "ADEFG")
    row += 2
    for number, plan, stock in _numbered(priced):
        page.number(f"A{row}", number, "0")
        page.text(f"B{row}", plan.item)
        page.text(f"C{row}", stock_words(stock, priced.shop.shop.units), "wrap")
        page.number(f"D{row}", stock.number, "0")
        page.money(f"E{row}", stock.price)
        page.number(f"F{row}", stock.used, "0.0%")
        page.money(f"G{row}", stock.price * stock.used * stock.number)
        row += 1
    return row + 1


def _numbered(priced: Priced) -> Iterator[tuple[int, CutPlan, SawnStock]]:
    number = 0
    for plan in priced.plans:
        for stock in plan.stocks:
            number += 1
            yield number, plan, stock


def write_risk(page: Page, priced: Priced, sure: Outlook) -> None:
    """Fill the sheet: bands of cost, chances, and every input with its ends and its share."""
    page.text("A1", "How sure the price is", "title")
    page.text(
        "A2",
        f"{sure.draws:,} builds drawn with seed {sure.seed}; run the command again after changes.",
        "note",
    )
    row, money = 4, f"[{priced.currency}]"
    page.heads(
        row,
        ("Cost, delivery included", f"costs less than {money}", f"give or take {money}", "margin then"),
        "BCD",
    )
    for words, one, margin in zip(LEVELS, sure.cost, sure.margins, strict=True):
        row += 1
        page.text(f"A{row}", words)
        page.number(f"B{row}", round(one.value), "#,##0", "grey")
        page.number(f"C{row}", round(one.error, 1), "#,##0.0", "grey")
        page.number(f"D{row}", margin, SHARE, "grey")
    row += 1
    page.text(f"A{row}", "The plan: every input at its likely value")
    page.number(f"B{row}", round(sure.plan), "#,##0", "grey")
    row += 2
    page.heads(row, ("At the price of this workbook's files", "of builds"), "B")
    told = (
        ("meet the plan", sure.met.share),
        ("lose money", sure.loses.share),
        ("stay below the floor", sure.misses_floor.share),
        ("stay below the margin asked", sure.misses_margin.share),
    )
    for words, share in told:
        row += 1
        page.text(f"A{row}", words)
        page.number(f"B{row}", share, SHARE, "grey")
    row += 1
    page.text(f"A{row}", "Price that keeps the margin where 8 in 10 builds cost less")
    page.money(f"B{row}", sure.covering, "grey")
    row += 2
    page.heads(
        row,
        (
            "What moves the cost",
            f"at its low {money}",
            f"at its high {money}",
            "share of what is unsure",
            "range",
        ),
        "BCD",
    )
    for driver in (*sure.drivers, *sure.setbacks):
        row += 1
        page.text(f"A{row}", driver.name)
        page.number(f"B{row}", round(driver.at_low), "#,##0", "grey")
        page.number(f"C{row}", round(driver.at_high), "#,##0", "grey")
        page.number(f"D{row}", max(driver.share, 0.0), SHARE, "grey")
        page.text(f"E{row}", driver.words)
    image = Image(BytesIO(png_bytes(risk_picture(priced, sure))))
    image.width, image.height = PICTURE_WIDTH, round(PICTURE_WIDTH * image.height / image.width)
    page.sheet.add_image(image, PICTURE_AT)
