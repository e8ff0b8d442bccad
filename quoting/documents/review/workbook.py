"""The review as a workbook: lines with their variances in live formulas, and the statement that they sum to."""

from collections.abc import Iterator
from decimal import Decimal
from functools import partial

from quoting.documents.pictures.review import review_pictures
from quoting.documents.review.view import money_rows, named, told
from quoting.documents.workbook.cells import Page, book_bytes, half_up, new_book, rounded
from quoting.documents.workbook.looks import SHARE, money_format, rate_format
from quoting.forecast.build import Build
from quoting.money import printed
from quoting.review.bridge import KINDS, OF_LINES, STEPS, Spent
from quoting.review.statement import Statement

REVIEW, LINES = "Review", "Differences"
BEFORE_KINDS = (
    "line", "unit", "planned quantity", "should have taken", "actual quantity", "planned rate [{money} a unit]", "planned [{money}]",
    "actual [{money}]", "over plan [{money}]",
)  # fmt: skip
COLUMNS = len(BEFORE_KINDS) + len(KINDS) + 1
PICTURES_AT = "F"
FIRST_KIND = len(BEFORE_KINDS)


def review_book_bytes(name: str, of: Build, found: Statement) -> bytes:
    """The workbook as an .xlsx file: the same review gives the same bytes.

    On "Differences" amounts are as they were, what is over the plan and the sums are formulas; "Review" adds them up to the
    bridge, which foots by itself.
    """
    plan = of.piece.plan
    workbook, pages = new_book((REVIEW, LINES), plan.digits)
    last = _lines(pages[LINES], found, plan.currency)
    _review(pages[REVIEW], name, of, found, last)
    row = 4
    for figure in review_pictures(plan, found).values():  # one below the other, beside the figures
        row += pages[REVIEW].picture(f"{PICTURES_AT}{row}", figure) + 2
    return book_bytes(workbook, pages, plan, f"Review of {name}")


def _letter(column: int) -> str:
    return chr(ord("A") + column)


def _lines(page: Page, found: Statement, currency: str) -> int:
    """Fill the sheet of differences. Returns its last row."""
    kinds = (f"{kind} [{currency}]" for kind in KINDS)
    heads = (*(head.format(money=currency) for head in BEFORE_KINDS), *kinds, "recorded")
    page.heads(1, heads, "", first_figure=3)
    for row, one in enumerate(found.lines, start=2):
        line = one.line
        page.text(f"A{row}", named(one))
        page.text(f"B{row}", line.unit)
        page.numbers(row, "CDE", (line.quantity, one.standard_quantity, one.quantity), "#,##0.00##")
        page.number(f"F{row}", line.rate, rate_format(page.digits))
        page.money(f"G{row}", one.planned)
        page.money(f"H{row}", one.actual)
        page.formula(f"I{row}", rounded(f"H{row}-G{row}", page.digits), one.over)
        for letter, formula, value in _parts(one, row, page.digits):
            page.formula(f"{letter}{row}", formula, value)
        page.text(f"{_letter(COLUMNS - 1)}{row}", "yes" if one.recorded else "no")
    return len(found.lines) + 1


def _parts(one: Spent, row: int, digits: int) -> Iterator[tuple[str, str, Decimal]]:
    """The parts of a line's difference: by quantity times rate where the line is so, the last part what is left of it."""
    at = {kind: _letter(FIRST_KIND + KINDS.index(kind)) for kind in one.parts}
    standard, used = (half_up(f"{quantity}{row}*F{row}", digits) for quantity in "DE")
    for kind, letter in at.items():
        if kind == "scope" and len(at) > 1:
            formula = f"{standard}-G{row}"
        elif kind in ("usage", "time") and ("price" in at or "pay" in at):
            formula = f"{used}-{standard if 'scope' in at else f'G{row}'}"
        else:
            formula = "-".join([f"I{row}", *(f"{other}{row}" for other in at.values() if other != letter)])
        yield letter, rounded(formula, digits), one.parts[kind]


def _review(page: Page, name: str, of: Build, found: Statement, last: int) -> None:
    plan, way = of.piece.plan, found.way
    page.text("A1", f"Review of {name} {plan.job.piece.title}", "title")
    page.text("A2", f"{of.piece.standing.words}; amounts in {plan.currency}", "note")
    page.heads(4, ("From the margin quoted to the margin earned", f"amount [{plan.currency}]"), "B")
    row = 5
    page.text(f"A{row}", "margin quoted, the reserve counted as cost", "bold")
    page.money(f"B{row}", way.quoted, "bold")
    for step, words in STEPS.items():
        row += 1
        page.text(f"A{row}", words)
        kinds = [kind for kind, of_step in OF_LINES.items() if of_step == step]
        letters = [_letter(FIRST_KIND + KINDS.index(kind)) for kind in kinds]
        sums = "".join(f"-SUM({LINES}!{letter}2:{letter}{last})" for letter in letters)
        if sums and step != "fees":
            page.formula(f"B{row}", rounded(f"0{sums}", page.digits), way.steps[step])
        else:
            page.money(f"B{row}", way.steps[step])
    row += 1
    page.text(f"A{row}", "margin earned", "sum")
    page.formula(f"B{row}", rounded(f"SUM(B5:B{row - 1})", page.digits), way.actual, look="sum")
    earned = row
    if way.contract.net:
        row += 1
        page.text(f"A{row}", "net price")
        page.money(f"B{row}", way.contract.net)
        row += 1
        page.text(f"A{row}", "margin earned, of the net price")
        page.formula(f"B{row}", f"B{earned}/B{row - 1}", float(way.actual / way.contract.net), SHARE)
    row += 2
    page.heads(row, ("What it left", f"amount [{plan.currency}]"), "B")
    for words, amount in money_rows(found):
        row += 1
        page.text(f"A{row}", words)
        page.money(f"B{row}", amount)
    row += 2
    why = "Why, the dearest first; hours with the overhead on them"
    page.heads(row, (why, f"on the margin [{plan.currency}]"), "B")
    money = partial(printed, currency=plan.currency, locale=plan.shop.shop.locale)
    for one in told(of, found, money):
        row += 1
        page.text(f"A{row}", one.words, "wrap")
        page.number(f"B{row}", one.cause.effect, money_format(page.digits))
    row += 2
    page.heads(row, ("Hours by task", "planned [h]", "should have taken [h]", "actual [h]"), "BCD")
    for task in found.tasks:
        row += 1
        page.text(f"A{row}", task.name)
        page.numbers(row, "BCD", (task.planned, task.standard, task.actual), "#,##0.00")
