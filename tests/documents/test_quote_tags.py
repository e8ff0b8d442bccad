"""The quote as a screen reader meets it: a tagged PDF (ISO 32000-1, 14.6 to 14.8)."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pdfplumber
import pypdf
import pytest
from PIL import Image
from pypdf.generic import ContentStream
from reportlab.pdfbase.pdfdoc import PDFCatalog, PDFPage
from reportlab.platypus import LongTable, TableStyle
from sharing import DAY

from quoting.documents.paper.page import BOTTOM, TOP, sheet
from quoting.documents.paper.tagged import Element, TaggedCanvas, cells
from quoting.documents.quote.pdf import quote_bytes
from quoting.job.load import load
from quoting.job.starters import wording
from quoting.pricing.price import priced as price_of
from quoting.pricing.record import Variant

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.record import Priced

JOBS = Path(__file__).parents[2] / "sample_jobs"
SAMPLES = [path.relative_to(JOBS) for path in sorted(JOBS.glob("*/jobs/*.toml"))]
LONG_WORDS = " ".join(f"The {i}th sentence of a description that no page can hold." for i in range(120))
PAINT = {b"Tj", b"TJ", b"'", b'"', b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"Do", b"sh", b"INLINE IMAGE"}  # fmt: skip
OPENS = {b"q": "q", b"BT": "text", b"BMC": "mark", b"BDC": "mark"}
CLOSES = {b"Q": "q", b"ET": "text", b"EMC": "mark"}


@dataclass(frozen=True)
class Node:
    """An element as the file has it."""

    kind: str
    entry: Any
    kids: tuple[Node, ...]
    marks: tuple[tuple[int, int], ...]

    def all(self) -> Iterator[Node]:
        yield self
        for kid in self.kids:
            yield from kid.all()

    def kinds(self, *wanted: str) -> list[Node]:
        return [node for node in self.all() if node.kind in wanted]

    @property
    def scope(self) -> str:
        return str(self.entry["/A"]["/Scope"]) if "/A" in self.entry else ""


class Read:
    """A quote, and what a reader finds in it."""

    def __init__(self, priced: Priced, picture: bytes | None = None, logo: bytes | None = None) -> None:
        self.priced = priced
        self.data, _ = quote_bytes(priced, picture, logo)
        self.reader = pypdf.PdfReader(BytesIO(self.data))
        self.root: Any = self.reader.trailer["/Root"]
        self.tree: Any = self.root["/StructTreeRoot"]

    @cached_property
    def document(self) -> Node:
        sheets = {page.indirect_reference.idnum: i for i, page in enumerate(self.reader.pages)}

        def node(entry: Any) -> Node:
            below = [kid.get_object() for kid in entry["/K"]]
            marks = [kid for kid in below if kid.get("/Type") == "/MCR"]
            return Node(
                str(entry["/S"])[1:],
                entry,
                tuple(node(kid) for kid in below if "/S" in kid),
                tuple((sheets[mark.raw_get("/Pg").idnum], int(mark["/MCID"])) for mark in marks),
            )

        return node(self.tree["/K"])

    @cached_property
    def marked_text(self) -> dict[tuple[int, int], str]:
        """Text by page and number of its mark; every letter has a mark or is decoration."""
        found: dict[tuple[int, int], str] = {}
        with pdfplumber.open(BytesIO(self.data)) as document:
            for i, page in enumerate(document.pages):
                for char in page.chars:
                    assert (char["tag"] == "Artifact") == (char["mcid"] is None), char
                    if char["mcid"] is not None:
                        found[i, char["mcid"]] = found.get((i, char["mcid"]), "") + char["text"]
        return found

    @cached_property
    def frame_words(self) -> Counter[str]:
        """The words between head and foot, by where they stand alone."""
        words: Counter[str] = Counter()
        with pdfplumber.open(BytesIO(self.data)) as document:
            for page in document.pages:
                body = page.crop((0, TOP - 2, page.width, page.height - BOTTOM + 6))
                words.update(word["text"] for word in body.extract_words())
        return words

    def words(self, node: Node) -> str:
        """What is read of a node and all below it, with single spaces."""
        text = "".join(self.marked_text.get(mark, "") for each in node.all() for mark in each.marks)
        return " ".join(text.split())

    def operations(self) -> Iterator[list[tuple[Any, bytes]]]:
        for page in self.reader.pages:
            yield ContentStream(page.get_contents(), self.reader).operations


def picture(kind: str) -> bytes:
    out = BytesIO()
    Image.new("RGB", (900, 600), "#8a6f4d").save(out, kind)
    return out.getvalue()


def reckoned(path: Path) -> Priced:
    return price_of(load(JOBS / path), date(2027, 2, 1), wording((JOBS / path).parents[1], []), {})


def with_piece(priced: Priced, **changed: Any) -> Priced:
    """The same price of a piece described in other words."""
    return replace(priced, job=replace(priced.job, piece=replace(priced.job.piece, **changed)))


def long_job() -> Priced:
    """A description and a table of options that no page can hold."""
    options = tuple(
        Variant(f"choice {i}", f"Option {i} in a few words.", Decimal(8000 + i)) for i in range(60)
    )
    priced = with_piece(
        reckoned(Path("tern_hollow/jobs/library_console.toml")),
        words=LONG_WORDS,
        included=tuple(f"fitting {i}" for i in range(70)),
    )
    return replace(priced, options=options)


@pytest.fixture(scope="module")
def long() -> Read:
    return Read(long_job(), picture("JPEG"), picture("PNG"))


@pytest.fixture(scope="module")
def console() -> Read:
    return Read(reckoned(Path("tern_hollow/jobs/library_console.toml")), picture("JPEG"), picture("PNG"))


@pytest.fixture(scope="module", params=[*SAMPLES, None], ids=lambda path: path.stem if path else "long")
def read(request: pytest.FixtureRequest) -> Read:
    if request.param is None:
        return Read(long_job(), picture("JPEG"), picture("PNG"))
    return Read(reckoned(request.param), picture("JPEG"))


def test_the_file_says_that_it_is_tagged(read: Read) -> None:
    """Marked, with a language, one document at the root, and a number on every page."""
    assert read.root["/MarkInfo"]["/Marked"].value is True
    assert read.root["/Lang"]
    assert read.document.kind == "Document"
    assert [page["/StructParents"] for page in read.reader.pages] == [*range(len(read.reader.pages))]
    assert read.tree["/ParentTreeNextKey"] == len(read.reader.pages)


def test_marks_lead_to_their_elements_and_back(read: Read) -> None:
    """Every mark on a page is in the parent tree, which names the one element that holds it."""
    numbers = read.tree["/ParentTree"]["/Nums"]
    assert list(numbers[::2]) == [*range(len(read.reader.pages))]
    holders = {mark: node for node in read.document.all() for mark in node.marks}
    assert len(holders) == sum(len(node.marks) for node in read.document.all())
    on_pages = [
        (i, int(operands[1]["/MCID"]), str(operands[0])[1:])
        for i, operations in enumerate(read.operations())
        for operands, operator in operations
        if operator == b"BDC"
    ]
    assert {(page, number) for page, number, _ in on_pages} == set(holders)
    assert len(on_pages) == len(holders)
    for page, number, kind in on_pages:
        holder = holders[page, number]
        assert kind == holder.kind
        assert numbers[2 * page + 1][number].idnum == holder.entry.indirect_reference.idnum
    for page, listed in enumerate(numbers[1::2]):
        assert len(listed) == sum(mark[0] == page for mark in holders)


def test_elements_know_what_is_above_them(read: Read) -> None:
    assert read.document.entry["/P"] == read.tree
    for node in read.document.all():
        for kid in node.kids:
            assert kid.entry.raw_get("/P").idnum == node.entry.indirect_reference.idnum


def test_all_that_is_painted_is_marked_and_no_mark_is_within_another(read: Read) -> None:
    """Marks, text and graphics states are closed in the order they were opened, on each page."""
    for operations in read.operations():
        opened: list[str] = []
        painted = 0
        for operands, operator in operations:
            if operator in OPENS:
                assert OPENS[operator] == "q" or OPENS[operator] not in opened
                opened.append(OPENS[operator])
            elif operator in CLOSES:
                assert opened.pop() == CLOSES[operator]
            elif operator in PAINT:
                assert "mark" in opened, (operands, operator)
                painted += 1
        assert opened == []
        assert painted > 3


def test_every_word_is_read_once(read: Read) -> None:
    """Words on the page less words in the tree leave the titles that a table repeats on further pages."""
    assert len(read.frame_words) > 60
    left = read.frame_words.copy()
    left.subtract(read.words(read.document).split())
    assert min(left.values()) >= 0
    assert {word for word, count in left.items() if count} <= titles(read)


def titles(read: Read) -> set[str]:
    """Words of header rows of tables that stand on several pages."""
    found = set()
    for table in read.document.kinds("Table"):
        if len({page for node in table.all() for page, _ in node.marks}) > 1:
            found |= set(read.words(table.kids[0]).split())
    return found


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_is_read_in_the_order_it_is_written(path: Path) -> None:
    """Where nothing is broken over pages, the tree goes through the pages mark by mark."""
    read = Read(reckoned(path), picture("JPEG"))
    marks = [mark for node in read.document.all() for mark in node.marks]
    assert marks == sorted(marks)


def test_headings(console: Read) -> None:
    """One first heading, and one for every part of the quote."""
    (first,) = console.document.kinds("H1")
    assert console.words(first) == "Quote"
    second = [console.words(node) for node in console.document.kinds("H2")]
    assert second[:3] == ["Entrance console with a resin inlay", "Price", "Payments"]
    assert "Included" in second and "Terms" in second
    assert second[-1] == "I accept this quote"
    order = [node.kind for node in console.document.kids if node.kind in ("H1", "H2")]
    assert order == ["H1", *["H2"] * len(second)]


def test_lines_of_a_paragraph_are_read_as_separate_words(console: Read) -> None:
    """The last word of a line and the first of the next are two words."""
    texts = [console.words(node) for node in console.document.kinds("P")]
    assert " ".join(console.priced.job.piece.words.split()) in texts
    assert "Attn. Odile Ferran 1 Ferry Square Harl's Ferry" in texts


def test_tables(read: Read) -> None:
    """Tables are rows of cells, as many in each; titles head columns, and first cells their rows."""
    tables = read.document.kinds("Table")
    assert len(tables) >= 3
    for table in tables:
        assert {row.kind for row in table.kids} == {"TR"}
        assert len({len(row.kids) for row in table.kids}) == 1
        titled = len(table.kids[0].kids) > 2
        for i, row in enumerate(table.kids):
            for j, cell in enumerate(row.kids):
                head = "/Column" if titled and i == 0 else "" if j else "/Row"
                head = head if read.words(cell) else ""
                assert (cell.kind, cell.scope) == ("TH" if head else "TD", head)


def test_payments_are_read_row_by_row(console: Read) -> None:
    payments = next(table for table in console.document.kinds("Table") if len(table.kids[0].kids) > 2)
    rows = [[console.words(cell) for cell in row.kids] for row in payments.kids]
    assert rows[0] == ["", "Due", "Net", "Tax", "Amount"]
    assert rows[1][:2] == ["Deposit", "with your order"]


def test_lists(read: Read) -> None:
    """What is included is a list, each item with its dash and its words."""
    lists = read.document.kinds("L")
    assert lists
    for listed in lists:
        for item in listed.kids:
            assert (item.kind, [part.kind for part in item.kids]) == ("LI", ["Lbl", "LBody"])
            assert read.words(item.kids[0]) == "–"
            assert read.words(item.kids[1])


@pytest.mark.parametrize("title", ["Entrance console", "Βάση (oak) \\ é", "森 bench"])
def test_pictures_say_what_they_show(title: str) -> None:
    """The picture says the title of the piece, the logo the name of the shop; nothing else is drawn as one."""
    priced = with_piece(reckoned(SAMPLES[0]), title=title)
    read = Read(priced, picture("JPEG"), picture("PNG"))
    figures = read.document.kinds("Figure")
    shown = title.replace("森", "□")
    assert [node.entry["/Alt"] for node in figures] == [priced.shop.shop.name, shown]
    held = {mark for node in figures for mark in node.marks}
    page, mark, drawn = 0, -1, []
    for page, operations in enumerate(read.operations()):
        for operands, operator in operations:
            if operator == b"BDC":
                mark = int(operands[1]["/MCID"])
            elif operator == b"Do":
                drawn.append((page, mark))
    assert sorted(drawn) == sorted(held)
    assert len(drawn) == 2


def test_a_paragraph_over_several_pages_is_one(long: Read) -> None:
    """Its parts are read one after the other, as one paragraph."""
    (whole,) = [node for node in long.document.kinds("P") if "119th sentence" in long.words(node)]
    assert long.words(whole) == LONG_WORDS
    assert [page for page, _ in whole.marks] == sorted({page for page, _ in whole.marks})
    assert len(whole.marks) > 1


def test_a_table_over_several_pages_is_one(long: Read) -> None:
    """All options are rows of one table; its titles are read once, though they stand on each page."""
    (table,) = [node for node in long.document.kinds("Table") if "choice 59" in long.words(node)]
    assert len({page for node in table.all() for page, _ in node.marks}) > 1
    assert [long.words(row.kids[0]) for row in table.kids[1:]] == [f"choice {i}" for i in range(60)]
    assert all(len(cell.marks) == 1 for cell in table.kids[0].kids)
    title = long.words(table.kids[0].kids[-1])
    assert title == "Total"
    assert long.frame_words[title] > long.words(long.document).split().count(title)


def test_a_row_broken_over_pages_keeps_its_cells_in_order() -> None:
    """Where a row goes on to the next page, both parts of a cell belong to the one cell."""
    options = (Variant("first " * 300, LONG_WORDS, Decimal(8000)), Variant("second", "Short.", Decimal(8100)))
    read = Read(replace(reckoned(Path("tern_hollow/jobs/library_console.toml")), options=options))
    (table,) = [node for node in read.document.kinds("Table") if "119th" in read.words(node)]
    row = table.kids[1]
    assert [read.words(cell) for cell in row.kids[:2]] == [("first " * 300).strip(), LONG_WORDS]
    assert all(len(cell.marks) > 1 for cell in row.kids[:2])


def test_empty_cells_head_nothing() -> None:
    """A blank corner is a plain cell, and tells the same table as the others."""
    made = cells([["", "Due"], ["Deposit", ""]], titled=True)
    assert [[(cell.kind, cell.scope) for cell in row] for row in made] == [
        [("TD", ""), ("TH", "Column")],
        [("TH", "Row"), ("TD", "")],
    ]
    assert len({cell.top() for row in made for cell in row}) == 1


def test_the_library_is_as_the_tags_need_it() -> None:
    """Fails where a new version of the PDF library moves what `quoting.documents.paper.tagged` rests on."""
    out = BytesIO()
    canvas: Any = TaggedCanvas(DAY, out, pageCompression=0)
    document = canvas._doc
    assert {"StructTreeRoot", "MarkInfo"} <= set(PDFCatalog.__NoDefault__)
    assert isinstance(PDFPage.__NoDefault__, list)
    assert "StructParents" not in PDFPage.__NoDefault__, "the library now writes this itself"
    assert document.Catalog and callable(document.Reference) and document.Pages.pages == []
    words = sheet("A4", "#000000").words("one\ntwo", tag=Element("H1"))
    words.wrapOn(canvas, 200, 200)
    words.drawOn(canvas, 50, 500)
    table = LongTable([[""]], style=TableStyle([("BOX", (0, 0), (-1, -1), 1, "black")]))
    table.wrapOn(canvas, 200, 200)
    table.drawOn(canvas, 50, 400)
    canvas.showPage()
    canvas.save()
    page = pypdf.PdfReader(out).pages[0]
    content = ContentStream(page.get_contents(), None)
    lines = [str(operands[0]) for operands, operator in content.operations if operator == b"Tj"]
    assert page["/StructParents"] == 0
    assert "".join(lines) == "one two ", "paragraphs no longer write their lines with _textOut"
    written = page.get_contents().get_data()
    assert written.count(b"/H1 <</MCID 0>> BDC") == 1
    assert written.count(b"/Artifact BMC") == 4, "tables no longer draw their lines with Canvas.line"
