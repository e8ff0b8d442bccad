"""The sheet "Risk": what draws of the job say, as they were drawn, and their picture."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from openpyxl.drawing.image import Image

from quoting.documents.pictures.risk import risk_picture
from quoting.documents.pictures.writers import png_bytes

if TYPE_CHECKING:
    from quoting.documents.workbook.cells import Page
    from quoting.pricing.outlook import Outlook
    from quoting.pricing.record import Priced

RISK = "Risk"
LEVELS = ("1 in 10 builds", "half of all builds", "8 in 10 builds", "9 in 10 builds")
SHARE = "0.0%"
PICTURE_AT, PICTURE_WIDTH = "H2", 700  # pixels


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
