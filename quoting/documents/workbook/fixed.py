"""The sheets "Cuts" and "Risk", which only the command can fill: where every blank lies, and what draws of the job say."""

from quoting.cut_plans.words import stock_words
from quoting.documents.pictures.price import risk_picture
from quoting.documents.workbook.cells import Page
from quoting.measures.showing import unit_shown
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced
from quoting.takeoff.stock import Offcut, SawnPiece

CUTS, RISK = "Cuts", "Risk"
SIZE = "#,##0.###"
TENTH_M = 0.1  # a size in the unit of blanks, not of rooms
LEVELS = ("1 in 10 builds", "half of all builds", "8 in 10 builds", "9 in 10 builds")
SHARE, WHOLE = "0.0%", "#,##0"


def write_cuts(page: Page, priced: Priced) -> None:
    """Fill the sheet: stock by the number that blanks and offcuts name it by, blanks, offcuts that are kept."""
    unit, size = unit_shown(TENTH_M, "length", priced.shop.shop.units)
    money = f"[{priced.currency}]"
    placed = [f"{words} [{unit}]" for words in ("From the end", "From the edge", "Length", "Width")]
    stocks = [(plan.item, stock) for plan in priced.plans for stock in plan.stocks]

    def where(row: int, one: SawnPiece | Offcut) -> None:
        page.numbers(row, "EFGH", (m / size for m in (one.x_m, one.y_m, one.length_m, one.width_m)), SIZE)

    page.text("A1", "Cut plan", "title")
    words = "What the take-off of these items rests on. Changed sizes or prices want a new plan: run the command again."
    page.text("A2", words, "note")
    page.text("A4", "Stock that is cut", "bold")
    charged = (f"Price of one {money}", "Charged", f"Charged in all {money}")
    page.heads(5, ("Stock", "Item", "Size and source", "Number", *charged), "ADEFG")
    for row, (number, (item, stock)) in enumerate(enumerate(stocks, start=1), start=6):
        page.number(f"A{row}", number, "0")
        page.text(f"B{row}", item)
        page.text(f"C{row}", stock_words(stock, priced.shop.shop.units), "wrap")
        page.number(f"D{row}", stock.number, "0")
        page.money(f"E{row}", stock.price)
        page.number(f"F{row}", stock.used, "0.0%")
        page.money(f"G{row}", stock.price * stock.used * stock.number)
    row = 7 + len(stocks)
    page.text(f"A{row}", "Blanks", "bold")
    page.heads(row + 1, ("Stock", "Item", "Blank for", "Panel", *placed), "ADEFGH")
    row += 2
    for number, (item, stock) in enumerate(stocks, start=1):
        for piece in stock.pieces:
            page.number(f"A{row}", number, "0")
            page.text(f"B{row}", item)
            page.text(f"C{row}", piece.part, "wrap")
            if piece.panel:
                page.number(f"D{row}", piece.panel, "0")
            where(row, piece)
            row += 1
    page.text(f"A{row + 1}", "Offcuts that are kept", "bold")
    page.heads(row + 2, ("Stock", "Item", "Number", f"Worth of one {money}", *placed), "ACDEFGH")
    row += 3
    for number, (item, stock) in enumerate(stocks, start=1):
        for left in (one for one in stock.offcuts if one.kept):
            page.number(f"A{row}", number, "0")
            page.text(f"B{row}", item)
            page.number(f"C{row}", stock.number, "0")
            page.money(f"D{row}", left.worth)
            where(row, left)
            row += 1


def write_risk(page: Page, priced: Priced, sure: Outlook) -> None:
    """Fill the sheet: bands of cost, chances, and every input with its ends and its share; and their picture."""
    page.text("A1", "How sure the price is", "title")
    drawn = f"{sure.draws:,} builds drawn with seed {sure.seed}; run the command again after changes."
    page.text("A2", drawn, "note")
    row, money = 4, f"[{priced.currency}]"
    heads = ("Cost, delivery included", f"costs less than {money}", f"give or take {money}", "margin then")
    page.heads(row, heads, "BCD")
    for words, one, margin in zip(LEVELS, sure.cost, sure.margins, strict=True):
        row += 1
        page.text(f"A{row}", words)
        page.number(f"B{row}", round(one.value), WHOLE, "grey")
        page.number(f"C{row}", round(one.error, 1), "#,##0.0", "grey")
        page.number(f"D{row}", margin, SHARE, "grey")
    row += 1
    page.text(f"A{row}", "The plan: every input at its likely value")
    page.number(f"B{row}", round(sure.plan), WHOLE, "grey")
    row += 2
    page.heads(row, ("At the price of this workbook's files", "of builds"), "B")
    chances = {
        "meet the plan": sure.met,
        "lose money": sure.loses,
        "stay below the floor": sure.misses_floor,
        "stay below the margin asked": sure.misses_margin,
    }
    for words, chance in chances.items():
        row += 1
        page.text(f"A{row}", words)
        page.number(f"B{row}", chance.share, SHARE, "grey")
    row += 1
    page.text(f"A{row}", "Price that keeps the margin where 8 in 10 builds cost less")
    page.money(f"B{row}", sure.covering, "grey")
    row += 2
    ends = (f"at its low {money}", f"at its high {money}", "share of what is unsure", "range")
    page.heads(row, ("What moves the cost", *ends), "BCD")
    for driver in (*sure.drivers, *sure.setbacks):
        row += 1
        page.text(f"A{row}", driver.name)
        page.numbers(row, "BC", (round(driver.at_low), round(driver.at_high)), WHOLE, "grey")
        page.number(f"D{row}", max(driver.share, 0.0), SHARE, "grey")
        page.text(f"E{row}", driver.words)
    page.picture("H2", risk_picture(priced, sure))
