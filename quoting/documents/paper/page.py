"""The sheet the quote is drawn on: paper, margins, type, one colour, head and foot of every page."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, LongTable, PageTemplate, TableStyle
from reportlab.platypus.flowables import Flowable

from quoting.documents.paper.tagged import DatedCanvas, Element, TaggedCanvas, Words, marked
from quoting.documents.paper.text import BOLD, REGULAR, cut, width

SIDE, TOP, BOTTOM = 22 * mm, 20 * mm, 21 * mm
FOOT = 13 * mm
SMALL = 9.0
INK, QUIET, HAIRLINE = HexColor("#1c1c1c"), HexColor("#595959"), HexColor("#d5d5d5")
LEAST_CONTRAST = 4.5  # for text on white, WCAG 2.1 criterion 1.4.3


def contrast_on_white(colour: Color) -> float:
    """Contrast ratio of a colour with white paper (WCAG 2.1, relative luminance)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour.rgb()]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 1.05 / (luminance + 0.05)


def readable(accent: str) -> Color:
    """The accent, darkened until text in it can be read on white."""
    colour = HexColor(accent)
    while contrast_on_white(colour) < LEAST_CONTRAST:
        colour = Color(*(c * 0.96 for c in colour.rgb()))
    return colour


def paragraph(marked_up: str, font: str, size: float, **style: Any) -> Words:
    """A paragraph of escaped text, its line ends kept, long words broken."""
    settings: dict[str, Any] = {"fontName": font, "fontSize": size, "textColor": INK, **style}
    return Words(marked_up.replace("\n", "<br/>"), ParagraphStyle("", **settings))


@dataclass(frozen=True, slots=True)
class Sheet:
    """A paper size, its accent, and how much of the usual air stands between blocks.

    Every text on it goes through `words`, which escapes it.
    """

    size: tuple[float, float]
    accent: Color
    air: float = 1.0

    @property
    def width(self) -> float:
        """Width between the margins [pt]."""
        return self.size[0] - 2 * SIDE

    def words(
        self,
        text: str,
        size: float = 9,
        *,
        bold: bool = False,
        right: bool = False,
        tag: Element | None = None,
        **style: Any,
    ) -> Words:
        """A paragraph of plain text: marks in it are printed, its line ends kept, long words broken;
        to a screen reader what `tag` says, or a paragraph.
        """
        style = {"leading": round(size * 1.4, 1), "allowWidows": 0, "allowOrphans": 0, **style}
        if right:
            style["alignment"] = TA_RIGHT
        made = paragraph(escape(text), BOLD if bold else REGULAR, size, **style)
        made.element = tag or Element("P")
        return made

    def heading(self, text: str) -> Words:
        """A heading that stays with what follows it."""
        style: dict[str, Any] = {"spaceBefore": 15 * self.air, "spaceAfter": 4, "keepWithNext": 1}
        return self.words(text, 10, bold=True, tag=Element("H2"), textColor=self.accent, **style)


def sheet(paper: str, accent: str) -> Sheet:
    """A4 or Letter."""
    return Sheet(A4 if paper == "A4" else LETTER, readable(accent))


@dataclass(frozen=True, slots=True)
class Running:
    """What stands on every page: the head from the second on, the foot on all."""

    head: str
    mark: str
    foot: str
    page: Callable[[int], str]

    def draw(self, canvas: Canvas, number: int, on: Sheet) -> None:
        """Draw head and foot, each cut to one line."""
        (paper_width, paper_height), right = on.size, on.size[0] - SIDE
        page = self.page(number)
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.5)
        canvas.line(SIDE, FOOT + 12, right, FOOT + 12)
        canvas.setFillColor(QUIET)
        canvas.setFont(REGULAR, SMALL)
        canvas.drawRightString(right, FOOT, page)
        room = paper_width - 2 * SIDE - width(page, REGULAR, SMALL) - 12
        canvas.drawString(SIDE, FOOT, cut(self.foot, REGULAR, SMALL, room))
        if number > 1:
            high = paper_height - TOP + 20
            mark = cut(self.mark, BOLD, SMALL, on.width / 2)
            room = on.width - width(mark, BOLD, SMALL) - 12
            canvas.drawString(SIDE, high, cut(self.head, REGULAR, SMALL, room))
            canvas.setFillColor(on.accent)
            canvas.setFont(BOLD, SMALL)
            canvas.drawRightString(right, high, mark)


def pdf_bytes(
    story: Sequence[Flowable],
    pages: Sequence[PageTemplate],
    size: tuple[float, float],
    about: Mapping[str, Any],
    day: date,
    tagged: bool = False,
) -> tuple[int, bytes]:
    """The number of pages and the PDF of a story on pages like these. `about` is the metadata of the file, which is dated `day`; a
    tagged one tells a screen reader what each block is.

    The first font of a page is set too: else every file also names one that is not embedded.
    """
    out = BytesIO()
    settings: dict[str, Any] = {"displayDocTitle": True, "initialFontName": REGULAR, "initialFontSize": SMALL}
    document = BaseDocTemplate(out, pagesize=size, **settings, **about)
    document.addPageTemplates(list(pages))
    document.build(list(story), canvasmaker=partial(TaggedCanvas if tagged else DatedCanvas, day))
    return int(document.page), out.getvalue()


def on_sheets(
    story: Sequence[Flowable],
    on: Sheet,
    running: Running,
    about: Mapping[str, str],
    day: date,
    tagged: bool = False,
) -> tuple[int, bytes]:
    """The number of pages and the PDF of a story on sheets with their head and foot, dated `day`."""
    frame = Frame(SIDE, BOTTOM, on.width, on.size[1] - TOP - BOTTOM, 0, 0, 0, 0)

    def head_and_foot(canvas: Canvas, _: Any) -> None:
        with marked(canvas, None):
            running.draw(canvas, canvas.getPageNumber(), on)

    page = PageTemplate(frames=[frame], onPage=head_and_foot)
    return pdf_bytes(story, [page], on.size, about, day, tagged)


def grid(rows: Sequence[Sequence[Any]], widths: Sequence[float], *commands: Any, **more: Any) -> LongTable:
    """A table without padding at its sides, whose rows may break over pages."""
    base = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    return LongTable(
        [list(row) for row in rows], widths, style=TableStyle([*base, *commands]), splitInRow=1, **more
    )
