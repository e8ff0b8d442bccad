"""The review as a paper for the maker: statement, causes, money, charts, lines."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from reportlab.lib.enums import TA_RIGHT
from reportlab.platypus import Flowable, Spacer

from quoting.documents.bench.page import Paper, built, heading, table, words
from quoting.documents.paper.text import QuoteText
from quoting.documents.pictures.review import review_pictures
from quoting.documents.pictures.writers import drawing
from quoting.documents.review.view import bridge_rows, differences, judged, money_rows, told
from quoting.forecast.build import Build
from quoting.review.statement import Statement

MOST_LINES = 30


def review_pdf_bytes(name: str, of: Build, found: Statement) -> bytes:
    """The paper as a PDF, marked as internal on every page; the same review gives the same bytes."""
    priced = of.piece.plan
    text = QuoteText(priced)
    title = text.ink("title", f"Review of {name} {priced.job.piece.title}")
    return built(title, lambda on: _story(title, of, found, text, on), priced.shop.shop, priced.day)


def _story(title: str, of: Build, found: Statement, text: QuoteText, on: Paper) -> Iterator[Flowable]:
    ink = text.ink
    yield words("", title, 13)
    client = ink("client", of.piece.quote.face.client)
    facts = [client, f"{of.piece.standing.words}"]
    yield words(" · ".join(one for one in facts if one))
    yield heading("Where the money went", on)
    yield from _rows([(one, text.money(amount), ends) for one, amount, ends in bridge_rows(found)], on)
    yield heading("Why, the dearest first; hours with the overhead on them", on)
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
    heads = ["line", "planned", "actual", "usage or time", "price or rate", ""]
    cells: list[list[Any]] = [[heads[0], *(_right(head) for head in heads[1:5]), heads[5]]]
    every = differences(found)
    for one in every[:MOST_LINES]:
        amounts: list[Decimal] = [one.planned, one.actual, one.first, one.second]
        note = judged(one.over) + ("" if one.recorded else ", not recorded")
        cells.append([text.ink("line", one.name), *(_right(text.money(amount)) for amount in amounts), note])
    yield table(cells, [on.width - 390, 70, 70, 75, 75, 100])
    if len(every) > MOST_LINES:
        yield words(f"and {len(every) - MOST_LINES} smaller ones, in the workbook")
