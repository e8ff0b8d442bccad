"""The client's quote as a PDF: the same price gives the same bytes."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from quoting.documents.paper.fonts import REGULAR, cut, glyphs
from quoting.documents.paper.page import SMALL, Running, build, dated, sheet
from quoting.documents.paper.text import Ink, QuoteText, filled
from quoting.documents.quote.client_view import client_view
from quoting.documents.quote.story import story

TIGHT = 0.5  # of the usual air between blocks

if TYPE_CHECKING:
    from datetime import date

    from quoting.documents.paper.page import Sheet
    from quoting.documents.quote.client_view import ClientView
    from quoting.pricing.record import Priced, Warned


def quote_bytes(
    priced: Priced, picture: bytes | None = None, logo: bytes | None = None
) -> tuple[bytes, tuple[Warned, ...]]:
    """The quote, and warnings about what could not be printed as written. Pictures are fit for print already.

    The file is dated by the quote's own day. It is built more than once: to count its pages, and with
    less air between blocks where that saves a last page with little on it.
    """
    ink = Ink(glyphs())
    view = client_view(priced, QuoteText(priced, ink))
    return drawn(view, priced, priced.day, picture, logo), ink.warnings


def drawn(
    view: ClientView, priced: Priced, day: date, picture: bytes | None = None, logo: bytes | None = None
) -> bytes:
    """A paper for the client as a PDF, on the sheet of the shop and dated `day`."""
    return laid(view, priced, day, picture, logo)[1]


def laid(
    view: ClientView, priced: Priced, day: date, picture: bytes | None, logo: bytes | None
) -> tuple[int, bytes]:
    """The same, with the number of its pages."""
    house = priced.shop.shop
    on = sheet(house.paper, house.accent)
    about = {
        "title": _line(f"{view.heading}: {view.title}"),
        "author": _line(view.maker.name),
        "subject": _line(f"{view.prepared_for} {view.client.name}" if view.client.name else view.heading),
        "creator": "quoting",
        "lang": view.language,
    }

    def built(on: Sheet, pages: int) -> tuple[int, bytes]:
        out = BytesIO()
        flowables = story(view, on, picture, logo)
        return build(out, flowables, on, _running(view, pages, on), about, tagged=True), out.getvalue()

    with dated(day):
        pages, _ = built(on, 0)
        if pages > 1:
            tight = replace(on, air=TIGHT)
            fewer, _ = built(tight, 0)
            on, pages = (tight, fewer) if fewer < pages else (on, pages)
        return built(on, pages)


def _running(view: ClientView, pages: int, on: Sheet) -> Running:
    """Head and foot: the piece and its mark, the maker's contact, the page."""
    return Running(
        head=view.running,
        mark=view.mark,
        foot=view.contact,
        page=lambda number: cut(
            filled(view.page, {"page": str(number), "pages": str(pages)}), REGULAR, SMALL, on.width / 2
        ),
    )


def _line(text: str) -> str:
    return " ".join(text.split())
