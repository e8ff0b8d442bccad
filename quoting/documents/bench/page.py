"""The paper of the maker's sheet, marked on every page, and its blocks: boxes to tick, blanks, tables without air."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Frame, FrameBreak, NextPageTemplate, PageTemplate, Table, TableStyle

from quoting.documents.paper.page import HAIRLINE, INK, QUIET, grid, paragraph, pdf_bytes, sheet
from quoting.documents.paper.tagged import Words
from quoting.documents.paper.text import BOLD, REGULAR, cut, width
from quoting.job.shop import House

TICK = 3 * mm
TICK_ROOM = TICK + 5  # a tick box and the air between it and the words
WIDEST = 180.0  # of a first column [pt]: the eye must find the figures beside it
BLANK = 24.0  # height of a blank [pt]: a label, and room for figures by pencil

MARGIN, GAP = 12 * mm, 14.0
MARK = 8 * mm  # of the baseline of the mark, below the edge of the paper
WHOLE = "whole"
INTERNAL = "INTERNAL: not for the client"
SIZE, LEADING = 9.0, 10.0
MOST_OF_PAGE = 0.25  # that a head may fill; a longer one flows with the columns


class TickBox(Flowable):
    """A square of three millimetres, as high as the first line beside it."""

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its room [pt]."""
        return TICK, LEADING

    def draw(self) -> None:
        """Draw the square, its foot a little below the line."""
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, (LEADING - TICK) / 2, TICK, TICK)


def table(rows: Sequence[Sequence[Any]], widths: Sequence[float], *commands: Any) -> Flowable:
    """Rows on hairlines. A text becomes a paragraph; rows may break over columns and pages."""
    cells = [[words(cell) if isinstance(cell, str) else cell for cell in row] for row in rows]
    lines = [
        ("LINEABOVE", (0, 0), (-1, -1), 0.4, HAIRLINE),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.8),
        ("RIGHTPADDING", (0, 0), (-2, -1), 4),
    ]
    return grid(cells, widths, *lines, *commands, hAlign="LEFT")


def blanks(labels: Sequence[str], shares: Sequence[float], room: float) -> Flowable:
    """A row of ruled boxes to write in, each with its label at the top left; a label may have two lines."""
    widths = [room * share / sum(shares) for share in shares]
    cells = [words(label, textColor=QUIET) for label in labels]
    high = max(cell.wrap(wide - 2, BLANK)[1] for cell, wide in zip(cells, widths, strict=True))
    style: list[Any] = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("GRID", (0, 0), (-1, -1), 0.6, INK),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ]
    return Table([cells], widths, [max(BLANK, high + 2)], TableStyle(style), hAlign="LEFT")


@dataclass(frozen=True, slots=True)
class Paper:
    """Paper size [pt], the accent, the title that stands beside the mark, how much larger all is drawn."""

    size: tuple[float, float]
    accent: Color
    title: str
    zoom: float = 1.0
    columns: int = 2

    @property
    def width(self) -> float:
        """Width between the margins [pt before the zoom]."""
        return (self.size[0] - 2 * MARGIN) / self.zoom

    @property
    def height(self) -> float:
        """Height between the margins [pt before the zoom]."""
        return (self.size[1] - 2 * MARGIN) / self.zoom

    @property
    def column(self) -> float:
        """Width of a column [pt before the zoom]."""
        return (self.width + GAP) / self.columns - GAP


def words(text: str, lead: str = "", size: float = SIZE, **style: Any) -> Words:
    """A paragraph of plain text with a bold beginning."""
    start = f"<b>{escape(lead)}</b> " if lead else ""
    style = {"leading": LEADING * size / SIZE, "allowWidows": 1, "allowOrphans": 1, **style}
    return paragraph(start + escape(text), REGULAR, size, **style)


def heading(text: str, on: Paper) -> Words:
    """A heading that stays with what follows it."""
    return words("", text, 9.5, textColor=on.accent, spaceBefore=5, spaceAfter=1.5, keepWithNext=1)


def taken(flowables: Sequence[Flowable], on: Paper) -> float:
    """The height that blocks take across the paper [pt before the zoom]."""
    return sum(
        one.wrap(on.width, on.height)[1] + one.getSpaceBefore() + one.getSpaceAfter() for one in flowables
    )


def in_columns(
    head: Sequence[Flowable], story: Sequence[Flowable], on: Paper, pages: int, title: str, day: date
) -> tuple[int, bytes]:
    """The number of pages and the PDF of a head and what flows in columns below it, dated `day`; `pages` is the number that they
    name.
    """
    high, edge, used = on.height, MARGIN / on.zoom, taken(head, on)
    across = used <= high * MOST_OF_PAGE

    def frame(x: float, y: float, wide: float, tall: float) -> Frame:
        return Frame(x, y, wide, tall, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)

    def page(name: str, frames: list[Frame]) -> PageTemplate:
        return PageTemplate(id=name, frames=frames, onPage=lambda canvas, _: _mark(canvas, on, pages))

    def columns(tall: float) -> list[Frame]:
        return [frame(edge + i * (on.column + GAP), edge, on.column, tall) for i in range(on.columns)]

    top = [frame(edge, edge + high - used - 1, on.width, used + 1)] if across else []
    first = page("first", [*top, *columns(high - used - 1 if across else high)])
    whole = page(WHOLE, [frame(edge, edge, on.width, high)])
    begin = [NextPageTemplate("later"), *head, *([FrameBreak()] if across else [])]
    templates = [first, page("later", columns(high)), whole]
    about = {"title": title, "creator": "quoting", "lang": "en"}
    return pdf_bytes([*begin, *story], templates, on.size, about, day)


def built(title: str, story: Callable[[Paper], Iterable[Flowable]], house: House, day: date) -> bytes:
    """A paper of one column as a PDF dated a day: the same story gives the same bytes."""
    look = sheet(house.paper, house.accent)
    on, pages = Paper(look.size, look.accent, title, columns=1), 1
    for _ in range(2):  # once to count the pages, once to name them
        pages, data = in_columns([], list(story(on)), on, pages, title, day)
    return data


def _mark(canvas: Canvas, on: Paper, pages: int) -> None:
    """The mark, the title cut to one line, and the page, above the columns; a hairline between them."""
    canvas.scale(on.zoom, on.zoom)
    edge = MARGIN / on.zoom
    right, high = edge + on.width, (on.size[1] - MARK) / on.zoom
    number = f"page {canvas.getPageNumber()} of {pages}"
    canvas.setFillColor(on.accent)
    canvas.setFont(BOLD, SIZE)
    canvas.drawString(edge, high, INTERNAL)
    canvas.setFillColor(QUIET)
    canvas.setFont(REGULAR, SIZE)
    canvas.drawRightString(right, high, number)
    left = edge + width(INTERNAL, BOLD, SIZE) + 12
    room = right - left - width(number, REGULAR, SIZE) - 12
    canvas.drawString(left, high, cut(on.title, REGULAR, SIZE, room))
    canvas.setStrokeColor(HAIRLINE)
    canvas.setLineWidth(0.5)
    canvas.line(edge, high - 3.5, right, high - 3.5)
