"""What a finished piece came to, for the maker: a paper of statement, causes, money and charts; a workbook of live variances."""

from collections.abc import Iterator
from decimal import Decimal
from functools import partial
from typing import Any

from reportlab.lib.enums import TA_RIGHT
from reportlab.platypus import Flowable, Spacer

from quoting.documents.bench.page import Paper, built, heading, table, words
from quoting.documents.paper.text import QuoteText
from quoting.documents.pictures.review import review_pictures
from quoting.documents.pictures.writers import drawing
from quoting.documents.review.view import bridge_rows, differences, judged, money_rows, named, told
from quoting.documents.workbook.book import book_bytes, new_book
from quoting.documents.workbook.cells import FINE, SHARE, Page, half_up, rate_format, rounded
from quoting.forecast.build import Build
from quoting.money import printed
from quoting.review.bridge import KINDS, OF_LINES, STEPS, Spent
from quoting.review.statement import Statement

MOST_LINES = 30
WHY = "Why, the dearest first; hours with the overhead on them"

REVIEW, LINES = "Review", "Differences"
BEFORE_KINDS = (
    "line", "unit", "planned quantity", "should have taken", "actual quantity", "planned rate [{money} a unit]", "planned [{money}]",
    "actual [{money}]", "over plan [{money}]",
)  # fmt: skip
LETTERS = {kind: chr(ord("A") + number) for number, kind in enumerate((*BEFORE_KINDS, *KINDS, "recorded"))}
"""The column of everything told of a line."""

HOURS = "#,##0.00"
PICTURES_AT = "F"


def review_pdf_bytes(name: str, of: Build, found: Statement) -> bytes:
    """The paper as a PDF, marked as internal on every page; the same review gives the same bytes."""
    priced = of.piece.plan
    text = QuoteText(priced)
    title = text.ink("title", f"Review of {name} {priced.job.piece.title}")
    return built(title, lambda on: _story(title, of, found, text, on), priced.shop.shop, priced.day)


def _story(title: str, of: Build, found: Statement, text: QuoteText, on: Paper) -> Iterator[Flowable]:
    ink = text.ink
    yield words("", title, 13)
    facts = (ink("client", of.piece.quote.face.client), of.piece.standing.words)
    yield words(" · ".join(filter(None, facts)))
    yield heading("Where the money went", on)
    yield from _rows([(one, text.money(amount), ends) for one, amount, ends in bridge_rows(found)], on)
    yield heading(WHY, on)
    for one in told(of, found, text.money):
        yield words(ink("cause", one.words), spaceBefore=2)
        for detail, effect in one.details:
            yield words(f"{ink('line', detail)}: {text.money(effect)}", leftIndent=12)
    yield heading("What it left", on)
    yield from _rows([(one, text.money(amount), False) for one, amount in money_rows(found)], on)
    yield heading("In pictures", on)
    for figure in review_pictures(of.piece.plan, found).values():
        yield drawing(figure, on.width)
        yield Spacer(1, 6)
    yield heading("Line by line, the largest difference first", on)
    yield from _lines(found, text, on)


def _rows(rows: list[tuple[str, str, bool]], on: Paper) -> Iterator[Flowable]:
    cells = [
        [words("" if ends else one, one if ends else ""), _right(said, ends)] for one, said, ends in rows
    ]
    yield table(cells, [on.width - 110, 110])


def _right(said: str, bold: bool = False) -> Any:
    return words("" if bold else said, said if bold else "", alignment=TA_RIGHT)


def _lines(found: Statement, text: QuoteText, on: Paper) -> Iterator[Flowable]:
    figures = map(_right, ("planned", "actual", "usage or time", "price or rate"))
    cells: list[list[Any]] = [["line", *figures, ""]]
    every = differences(found)
    for one in every[:MOST_LINES]:
        amounts = map(text.money, (one.planned, one.actual, one.first, one.second))
        note = judged(one.over) + ("" if one.recorded else ", not recorded")
        cells.append([text.ink("line", one.name), *map(_right, amounts), note])
    yield table(cells, [on.width - 390, 70, 70, 75, 75, 100])
    if len(every) > MOST_LINES:
        yield words(f"and {len(every) - MOST_LINES} smaller ones, in the workbook")


def review_book_bytes(name: str, of: Build, found: Statement) -> bytes:
    """The workbook as an .xlsx file: the same review gives the same bytes.

    On "Differences" amounts are as they were, what is over the plan and the sums are formulas; "Review" adds them up to the
    bridge, which foots by itself.
    """
    plan = of.piece.plan
    workbook, pages = new_book((REVIEW, LINES), plan.digits)
    last = _differences(pages[LINES], found, plan.currency)
    _review(pages[REVIEW], name, of, found, last)
    row = 4
    for figure in review_pictures(plan, found).values():  # one below the other, beside the figures
        row += pages[REVIEW].picture(f"{PICTURES_AT}{row}", figure) + 2
    return book_bytes(workbook, pages, plan, f"Review of {name}")


def _differences(page: Page, found: Statement, currency: str) -> int:
    """Fill the sheet of differences. Returns its last row."""
    kinds = (f"{kind} [{{money}}]" for kind in KINDS)
    heads = [head.format(money=currency) for head in (*BEFORE_KINDS, *kinds, "recorded")]
    page.heads(1, heads, "", first_figure=3)
    for row, one in enumerate(found.lines, start=2):
        line = one.line
        taken = ((quantity, FINE) for quantity in (line.quantity, one.standard_quantity, one.quantity))
        rate = (line.rate, rate_format(page.digits))
        page.rows(row, [(named(one), line.unit, *taken, rate, one.planned, one.actual)])
        page.formula(f"I{row}", rounded(f"H{row}-G{row}", page.digits), one.over)
        for letter, formula, value in _parts(one, row, page.digits):
            page.formula(f"{letter}{row}", formula, value)
        page.text(f"{LETTERS['recorded']}{row}", "yes" if one.recorded else "no")
    return len(found.lines) + 1


def _parts(one: Spent, row: int, digits: int) -> Iterator[tuple[str, str, Decimal]]:
    """The parts of a line's difference: by quantity times rate where the line is so, the last part what is left of it."""
    at = {kind: LETTERS[kind] for kind in one.parts}
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
    page.text("A5", "margin quoted, the reserve counted as cost", "bold")
    page.number("B5", way.quoted, look="bold")
    for row, (step, said) in enumerate(STEPS.items(), start=6):
        page.text(f"A{row}", said)
        letters = (LETTERS[kind] for kind, of_step in OF_LINES.items() if of_step == step)
        sums = "".join(f"-SUM({LINES}!{letter}2:{letter}{last})" for letter in letters)
        if sums and step != "fees":
            page.formula(f"B{row}", rounded(f"0{sums}", page.digits), way.steps[step])
        else:
            page.number(f"B{row}", way.steps[step])
    row = earned = 6 + len(STEPS)
    page.text(f"A{row}", "margin earned", "sum")
    page.formula(f"B{row}", rounded(f"SUM(B5:B{row - 1})", page.digits), way.actual, look="sum")
    if way.contract.net:
        row = page.rows(row + 1, [("net price", way.contract.net)])
        page.text(f"A{row}", "margin earned, of the net price")
        page.formula(f"B{row}", f"B{earned}/B{row - 1}", float(way.actual / way.contract.net), SHARE)
    row += 2
    page.heads(row, ("What it left", f"amount [{plan.currency}]"), "B")
    row = page.rows(row + 1, money_rows(found)) + 1
    page.heads(row, (WHY, f"on the margin [{plan.currency}]"), "B")
    money = partial(printed, currency=plan.currency, locale=plan.shop.shop.locale)
    causes = (((one.words, "wrap"), one.cause.effect) for one in told(of, found, money))
    row = page.rows(row + 1, causes) + 1
    page.heads(row, ("Hours by task", "planned [h]", "should have taken [h]", "actual [h]"), "BCD")
    hours = (
        (task.name, *((h, HOURS) for h in (task.planned, task.standard, task.actual))) for task in found.tasks
    )
    page.rows(row + 1, hours)
