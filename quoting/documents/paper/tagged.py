"""A PDF that tells its day, and a screen reader what its blocks, words and pictures are; all else in it is decoration."""

from __future__ import annotations

from calendar import timegm
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import date
from hashlib import md5
from typing import Any, Literal, NamedTuple

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.textobject import PDFTextObject
from reportlab.platypus import Image, Paragraph
from reportlab.platypus.flowables import Flowable

Scope = Literal["", "Row", "Column"]


@dataclass(eq=False, slots=True)
class Element:
    """One element of the structure, by its standard type: what is below it, and where it stands.

    `marks` are pairs of a page from 0 and the number of a marked content on it. `alt` says what a picture
    shows, `scope` what a header cell heads. A table is whole before it is drawn, so that its cells stay
    in order however its rows are broken over pages.
    """

    kind: str
    alt: str = ""
    scope: Scope = ""
    above: Element | None = None
    kids: list[Element] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def add(self, kind: str, scope: Scope = "") -> Element:
        """A new last element below this one."""
        self.kids.append(Element(kind, scope=scope, above=self))
        return self.kids[-1]

    def top(self) -> Element:
        """The element above all others, or this one."""
        return self.above.top() if self.above else self


def cells(rows: Sequence[Sequence[str]], *, titled: bool = False) -> list[list[Element]]:
    """The cells of a table of these words: the first of each row heads it, and a first row of titles heads
    the columns. An empty cell heads nothing.
    """
    table = Element("Table")
    made: list[list[Element]] = []
    for i, words in enumerate(rows):
        row = table.add("TR")
        made.append([])
        for j, said in enumerate(words):
            head: Scope = "Column" if titled and i == 0 else "" if j else "Row"
            made[-1].append(row.add("TH", head) if head and said else row.add("TD"))
    return made


class _Lines(PDFTextObject):
    """Lines of text that end with a space: else the last word of one and the first of the next are read as one."""

    def _textOut(self, text: str, TStar: int = 0) -> None:  # noqa: N802, N803
        super()._textOut(f"{text} " if TStar else text, TStar)  # type: ignore[misc]


class _Midnight(NamedTuple):
    """The beginning of a day in UTC, as the library asks for the moment of a file."""

    YMDhms: tuple[int, ...]
    dhh: int = 0
    dmm: int = 0


class DatedCanvas(Canvas):
    """A canvas whose file is dated `day`; its identifier rests on that and on its content alone.

    The library dates files by the environment or by the clock. Threads share both, so the day is put in behind it:
    `_timeStamp` of its document, and `signature`, begun as it begins it.
    """

    def __init__(self, day: date, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        document: Any = self._doc  # type: ignore[attr-defined]
        document._timeStamp = _Midnight((day.year, day.month, day.day, 0, 0, 0))
        begun = f"a reportlab document{timegm(day.timetuple())}".encode()
        document.signature = md5(begun, usedforsecurity=False)


class TaggedCanvas(DatedCanvas):
    """A canvas whose file says what each mark on its pages is.

    The library writes no tags. This file alone rests on parts of it that are not public, and has a test of
    them: `_doc` with its `Catalog`, `Pages.pages` and `Reference`; the list of entries a page may have,
    `__NoDefault__`; and that paragraphs write each line with `_textOut`, tables draw theirs with `line`.
    """

    def __init__(self, day: date, *given: Any, **named: Any) -> None:
        super().__init__(day, *given, **named)
        self.root = Element("Document")
        self.pages: list[list[Element]] = [[]]
        self.marking = False

    @contextmanager
    def marked(self, element: Element | None) -> Iterator[None]:
        """Whatever is drawn within stands for the element; without one it is decoration."""
        opening = "/Artifact BMC"
        if element:
            top, here = element.top(), self.pages[-1]
            if top not in self.root.kids:
                self.root.kids.append(top)
            element.marks.append((len(self.pages) - 1, len(here)))
            opening = f"/{element.kind} <</MCID {len(here)}>> BDC"
            here.append(element)
        self.addLiteral(opening)
        self.marking = True
        yield
        self.marking = False
        self.addLiteral("EMC")

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A line, which is decoration."""
        with nullcontext() if self.marking else self.marked(None):
            super().line(x1, y1, x2, y2)

    def showPage(self) -> None:  # noqa: N802
        """Finish the page, and number it for the tree that leads from marks to elements."""
        super().showPage()
        page = self._doc.Pages.pages[-1]  # type: ignore[attr-defined]
        page.__NoDefault__ = [*page.__NoDefault__, "StructParents"]
        page.StructParents = len(self.pages) - 1
        self.pages.append([])

    def save(self) -> None:
        """Write the structure, then the file. Every page has been finished."""
        document: Any = self._doc  # type: ignore[attr-defined]
        sheets = [document.Reference(page) for page in document.Pages.pages]
        written: dict[Element, Any] = {}

        def write(element: Element, above: Any) -> Any:
            entry = PDFDictionary({"Type": PDFName("StructElem"), "S": PDFName(element.kind), "P": above})
            written[element] = document.Reference(entry)
            if element.alt:
                entry["Alt"] = PDFString(element.alt)
            if element.scope:
                entry["A"] = PDFDictionary({"O": PDFName("Table"), "Scope": PDFName(element.scope)})
            marks = [
                PDFDictionary({"Type": PDFName("MCR"), "Pg": sheets[page], "MCID": number})
                for page, number in element.marks
            ]
            entry["K"] = PDFArray([*marks, *(write(kid, written[element]) for kid in element.kids)])
            return written[element]

        tree = PDFDictionary({"Type": PDFName("StructTreeRoot"), "ParentTreeNextKey": len(sheets)})
        tree["K"] = write(self.root, document.Reference(tree))
        marks = [PDFArray([written[element] for element in page]) for page in self.pages[: len(sheets)]]
        numbered = [each for pair in enumerate(marks) for each in pair]
        tree["ParentTree"] = document.Reference(PDFDictionary({"Nums": PDFArray(numbered)}))
        document.Catalog.StructTreeRoot = tree
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})
        super().save()


def marked(canvas: Canvas, element: Element | None) -> AbstractContextManager[None]:
    """`TaggedCanvas.marked`; nothing on a canvas without tags."""
    return canvas.marked(element) if isinstance(canvas, TaggedCanvas) else nullcontext()


class _Tagged(Flowable):
    """What stands for an element. Its parts on several pages stand for the same one; where it is drawn
    once more, as the head of a table is on a further page, it is decoration.
    """

    element: Element | None = None

    def split(self, availWidth: float, availHeight: float) -> list[Flowable]:  # noqa: N803
        """The parts, each with the element of the whole."""
        parts: list[Any] = super().split(availWidth, availHeight)
        for part in parts:
            part.element = self.element
        return parts

    def draw(self) -> None:
        """Draw it between its marks."""
        with marked(self.canv, self.element):
            super().draw()  # type: ignore[misc]
        self.element = None


class Words(_Tagged, Paragraph):
    """A paragraph that stands for an element."""

    def beginText(self, x: float, y: float) -> PDFTextObject:  # noqa: N802
        """Where the paragraph begins to write its lines."""
        return _Lines(self.canv, x, y) if isinstance(self.canv, TaggedCanvas) else super().beginText(x, y)


class Picture(_Tagged, Image):
    """A picture that stands for an element."""
