"""The client's quote: what it says, what it never says, and how it stands on paper."""

from __future__ import annotations

import os
import re
import tomllib
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pdfplumber
import pypdf
import pytest
from PIL import Image

from quoting.documents.paper.page import LEAST_CONTRAST, SIDE, contrast_on_white, readable
from quoting.documents.quote.pdf import quote_bytes
from quoting.job.load import load
from quoting.money import printed
from quoting.pricing.price import priced as price_of
from quoting.pricing.record import Variant

if TYPE_CHECKING:
    from collections.abc import Callable

    from quoting.pricing.record import Priced

TEMPLATES = Path(__file__).parents[2] / "templates"
TODAY = date(2027, 3, 1)

PRICES = """\
# format = 1
item,unit,price,pack,lead,supplier,dated,note
white oak 5/4,bd ft,9.77,,1 week,Quern Timber,2027-02-01,
oil,L,41.23,1,1 week,Marl Finishes,2027-02-01,
laminating epoxy,L,23.19,2,1 week,Marl Finishes,2027-02-01,
brass bar,m,17.31,3,1 week,Quern Metals,2027-02-01,
"""

BENCH = """\
format = 1
[piece]
code = "B-7"
title = "Reading bench"
words = "A bench for two by the window."
length = "60 in"
width = "16 in"
height = "18 in"
included = ["felt feet"]
not_included = ["fixing to the wall"]
[client]
name = "Ada Fenwick"
address = "3 Mill Row\\nSallow"
email = "ada@client.example"
[delivery]
road_distance = "12 mi"
[[hardwood]]
part = "seat"
species = "white oak"
length = "60 in"
width = "16 in"
thickness = "1 in"
glued_up = true
[[finish]]
part = "all faces"
product = "oil"
area = "24 ft2"
"""

SHELF = """
[[glass]]
part = "shelf"
length = "30 in"
width = "12 in"
thickness = "10 mm"
price = 191.37
supplier = "Harrow Glazing"
[[coating]]
part = "top coat"
area = "6 ft2"
resin = "laminating epoxy"
thickness = "1/16 in"
[[metal]]
part = "bracket"
item = "brass bar"
metal = "brass"
section = "25 mm round"
length = "12 in"
[[setback]]
what = "a cracked board"
chance = 0.1
cost = 50
"""

SHOP_LINES = 'address = "1 Wharf Lane\\nSallow"\nemail = "bench@studio.example"\nphone = "555 0100"\n'


@dataclass(frozen=True)
class Paper:
    """A quote that was made, and what can be read from it."""

    priced: Priced
    data: bytes
    warned: dict[str, str]

    @property
    def reader(self) -> pypdf.PdfReader:
        return pypdf.PdfReader(BytesIO(self.data))

    @property
    def pages(self) -> list[str]:
        return [plain(page.extract_text()) for page in self.reader.pages]

    @property
    def text(self) -> str:
        return " ".join(self.pages)

    def amount(self, value: Decimal) -> str:
        house = self.priced.shop.shop
        return plain(printed(value, house.currency, house.locale))


def plain(text: str) -> str:
    """Text with every run of spaces and line ends as one space."""
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.fixture
def wording() -> dict[str, Any]:
    return tomllib.loads((TEMPLATES / "wording.toml").read_text(encoding="utf-8"))


@pytest.fixture
def reckoned(tmp_path: Path, wording: dict[str, Any]) -> Callable[..., Priced]:
    """Prices a job text with a shop made from the starter shop; settings are `path=value`."""

    def reckon(job: str = BENCH, *settings: str) -> Priced:
        shop = (TEMPLATES / "shop.toml").read_text(encoding="utf-8")
        shop = shop.replace("[shop]\n", "[shop]\n" + SHOP_LINES, 1)
        (tmp_path / "shop.toml").write_text(shop, encoding="utf-8")
        (tmp_path / "prices.csv").write_text(PRICES, encoding="utf-8")
        path = tmp_path / "job.toml"
        path.write_text(job, encoding="utf-8")
        return price_of(load(path, settings=settings), TODAY, wording, {})

    return reckon


@pytest.fixture
def quote(reckoned: Callable[..., Priced]) -> Callable[..., Paper]:
    """Makes the quote of a job text."""

    def make(job: str = BENCH, *settings: str, **images: bytes) -> Paper:
        return paper(reckoned(job, *settings), **images)

    return make


def paper(priced: Priced, **images: bytes) -> Paper:
    data, warned = quote_bytes(priced, **images)
    return Paper(priced, data, {one.field: one.words for one in warned})


def words_of(data: bytes) -> list[list[dict[str, Any]]]:
    with pdfplumber.open(BytesIO(data)) as document:
        return [page.extract_words(keep_blank_chars=False) for page in document.pages]


def assert_well_set(data: bytes) -> None:
    """Every word stands between the side margins and the paper's ends, and on no other word."""
    with pdfplumber.open(BytesIO(data)) as document:
        for page in document.pages:
            words = page.extract_words()
            for word in words:
                assert word["x0"] >= SIDE - 0.5, word["text"]
                assert word["x1"] <= page.width - SIDE + 0.5, word["text"]
                assert 0 < word["top"] < word["bottom"] < page.height - 24, word["text"]
            for i, one in enumerate(words):
                for other in words[i + 1 :]:
                    wide = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
                    high = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
                    assert wide < 0.6 or high < 1.5, (one["text"], other["text"])


def with_items(count: int, words: str = "item number {i} of the list") -> str:
    items = ", ".join(f'"{words.format(i=i)}"' for i in range(1, count + 1))
    return BENCH.replace('included = ["felt feet"]', f"included = [{items}]", 1)


def test_says_what_a_client_decides_on(quote: Callable[..., Paper]) -> None:
    """The quote holds the draft mark, both parties, dates, the piece, the total and the payments."""
    made = quote()
    text = made.text
    for words in (
        "Draft, not numbered", "My workshop", "1 Wharf Lane", "bench@studio.example", "555 0100", "Ada Fenwick",
        "3 Mill Row", "March 1, 2027", "March 31, 2027", "Reading bench", "60 in long × 16 in wide × 18 in high",
        "felt feet", "fixing to the wall", "White oak: seat", "Oil: all faces", "Reference B-7", "included within 25 mi",
        "Deposit with your order", "Second payment before finishing", "Balance on hand-over", "Page 1 of", "Signature",
    ):  # fmt: skip
        assert words in text
    assert text.index("Draft, not numbered") < text.index("Ada Fenwick")
    assert made.amount(made.priced.chain.total) in text
    assert made.warned == {}


def test_total_is_the_largest_figure(quote: Callable[..., Paper]) -> None:
    """The total is set larger than any other amount."""
    made = quote()
    with pdfplumber.open(BytesIO(made.data)) as document:
        chars = [char for page in document.pages for char in page.chars]
    digits = {round(char["size"], 1) for char in chars if char["text"].isdigit()}
    assert max(digits) == 15
    line = "".join(char["text"] for char in chars if round(char["size"], 1) == 15)
    assert plain(line) == f"Total {made.amount(made.priced.chain.total)}"


def test_keeps_the_shop_s_figures_to_the_shop(quote: Callable[..., Paper]) -> None:
    """Cost, margin, overhead, hours, suppliers, item prices and the reserve are nowhere in the file."""
    made = quote(BENCH + SHELF, "tax.registered=true", "tax.rate=6 %")
    text = made.text.casefold()
    for word in (
        "cost", "margin", "overhead", "hour", "labour", "reserve", "markup", "quern", "marl", "harrow", "glazier",
        "supplier", "setback", "cracked", "9.77", "41.23", "23.19", "17.31", "191.37", "bd ft",
    ):  # fmt: skip
        assert word not in text
    chain = made.priced.chain
    shown = {chain.goods, chain.net, chain.tax, chain.total}
    shown |= {part for one in made.priced.payments for part in (one.net, one.tax, one.total)}
    kept = (
        {line.amount for line in made.priced.lines}
        | set(made.priced.cost.values())
        | set(chain.fees.values())
    )
    figures = set(re.findall(r"\$([\d,]+\.\d\d)", made.text))
    assert not figures & {f"{amount:,.2f}" for amount in kept - shown if amount}


def test_payments_sum_to_the_total_as_printed(quote: Callable[..., Paper]) -> None:
    """The printed payments add up to the printed total, net and tax too."""
    made = quote(BENCH, "tax.registered=true", "tax.rate=8.875 %")
    rows = re.findall(r"(?:order|finishing|hand-over) \$([\d,.]+) \$([\d,.]+) \$([\d,.]+)", made.text)
    assert len(rows) == 3
    sums = [sum(Decimal(row[i].replace(",", "")) for row in rows) for i in range(3)]
    chain = made.priced.chain
    assert sums == [chain.net, chain.tax, chain.total]
    assert "8.875%" in made.text


HOSTILE = [
    "<b>Bo</b>", "</para>", "<img src='/etc/passwd'>", "<img src='http://127.0.0.1:9/x.png'/>", "Oak & Ash",
    "&lt;para&gt; &amp; &#65;", "<seq id='1'/>", "<a href='x'>y</a>", "<br/>", "{page} {total} %s {0}", "<!-- -- >", "]]>",
]  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_marks_in_a_name_are_printed(quote: Callable[..., Paper], name: str) -> None:
    """Whatever looks like markup in text from outside is printed as it was written."""
    job = (
        BENCH.replace("Ada Fenwick", name).replace('"felt feet"', f'"{name}"').replace("Reading bench", name)
    )
    made = quote(job)
    assert made.text.count(plain(name)) >= 3
    assert all(not page.images and "/Annots" not in page for page in made.reader.pages)
    assert "root:" not in made.text


def test_long_words_are_broken(quote: Callable[..., Paper]) -> None:
    """A name, an address, an item and a reason of 300 letters without a space stay inside the page."""
    long = "Nebenzimmer" * 28
    job = BENCH.replace("Ada Fenwick", long).replace("3 Mill Row", long).replace('"felt feet"', f'"{long}"')
    job = job.replace("[delivery]", f'[price]\ndiscount = "5 %"\nwhy = "{long}"\n[delivery]').replace(
        "Reading bench", long
    )
    made = quote(job, f"shop.name={long}", f"shop.phone={long}")
    assert_well_set(made.data)
    assert made.text.replace(" ", "").count(long) >= 4


def test_line_ends_are_kept(quote: Callable[..., Paper]) -> None:
    """Lines of an address stand below each other."""
    words = {word["text"]: word for word in words_of(quote().data)[0]}
    assert words["Sallow"]["top"] > words["Mill"]["bottom"] - 1


@pytest.mark.parametrize(
    "name", ["Ελένη Παπαδάκη", "Ольга Їжакевич", "Łucja Žižková Őry", "Nguyễn Thị Hằng", "Ştefan Ğül"]
)
def test_names_of_many_alphabets(quote: Callable[..., Paper], name: str) -> None:
    """Greek, Cyrillic, Vietnamese and extended Latin names come out as written."""
    made = quote(BENCH.replace("Ada Fenwick", name))
    assert name in made.text
    assert made.warned == {}


@pytest.mark.parametrize(
    ("name", "field"),
    [
        ("שרה לוי", "client.name"),
        ("ليلى", "client.name"),
        ("森 陽子", "client.name"),
        ("Jo 🪑", "client.name"),
    ],
)
def test_missing_glyphs_are_named(quote: Callable[..., Paper], name: str, field: str) -> None:
    """A character that the font lacks leaves a visible gap, and a warning that names the field."""
    made = quote(BENCH.replace("Ada Fenwick", name))
    assert list(made.warned) == [field]
    lacking = next(c for c in name if c not in "Jo ")
    assert f"{lacking} (U+{ord(lacking):04X})" in made.warned[field]
    assert "□" in made.text
    assert "\0" not in made.text


def test_every_field_is_watched_for_glyphs(quote: Callable[..., Paper]) -> None:
    """Each text of the maker's is checked under its own name."""
    job = BENCH.replace("Reading bench", "森").replace("by the window", "森").replace("felt feet", "森")
    job = job.replace('part = "seat"', 'id = "seat"\npart = "森"').replace(
        "[delivery]", '[quote]\nnotes = "森"\n[delivery]'
    )
    made = quote(job, "shop.name=森", "terms.words=森")
    assert set(made.warned) == {
        "piece.title", "piece.words", "piece.included", "hardwood.seat.part", "quote.notes", "shop.name", "terms.words",
    }  # fmt: skip


def test_invisible_signs_are_dropped(quote: Callable[..., Paper]) -> None:
    """Signs that steer direction or hyphenation leave no trace and no warning."""
    made = quote(BENCH.replace("Ada Fenwick", "Ada\u202e \u200bFen\u00adwick"))
    assert "Ada Fenwick" in made.text
    assert made.warned == {}


def test_fonts_are_embedded(quote: Callable[..., Paper]) -> None:
    """Every font the file names is inside it, two faces of one family."""
    names = set()
    for page in quote(with_items(25)).reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            about = font.get_object()
            assert "/FontFile2" in about["/FontDescriptor"]
            names.add(about["/BaseFont"].split("+")[1])
    assert names == {"DejaVuSans", "DejaVuSans-Bold"}


def test_same_price_same_bytes(reckoned: Callable[..., Priced], monkeypatch: pytest.MonkeyPatch) -> None:
    """Two quotes of one price are equal to the byte, and the environment is left as it was."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "12345")
    priced = reckoned()
    picture = photograph()
    assert quote_bytes(priced, picture, picture) == quote_bytes(priced, picture, picture)
    assert os.environ["SOURCE_DATE_EPOCH"] == "12345"


def test_dated_by_the_quote(quote: Callable[..., Paper]) -> None:
    """The file is dated by the day of the quote and tells title, author, client and language."""
    made = quote(BENCH.replace("[delivery]", "[quote]\ndate = 2026-11-05\n[delivery]"), "shop.locale=en_GB")
    about = made.reader.metadata
    assert about is not None
    assert about.creation_date == datetime(2026, 11, 5, tzinfo=UTC)
    assert (about.title, about.author, about.subject) == (
        "Quote: Reading bench", "My workshop", "Prepared for Ada Fenwick",
    )  # fmt: skip
    assert made.reader.trailer["/Root"]["/Lang"] == "en-GB"  # type: ignore[index]
    assert "5 November 2026" in made.text
    assert "5 December 2026" in made.text


@pytest.mark.parametrize(("size", "wide", "high"), [("A4", 595.3, 841.9), ("Letter", 612, 792)])
def test_paper(quote: Callable[..., Paper], size: str, wide: float, high: float) -> None:
    """The quote is set on the shop's paper."""
    box = quote(BENCH, f"shop.paper={size}").reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((wide, high), abs=0.1)


@pytest.mark.parametrize(
    ("locale", "day"),
    [
        ("en_US", "March 1, 2027"), ("en_GB", "1 March 2027"), ("de_DE", "01.03.2027"), ("fr_FR", "1 March 2027"),
        ("ja_JP", "2027/03/01"),
    ],
)  # fmt: skip
@pytest.mark.parametrize(("currency", "digits"), [("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_locales(quote: Callable[..., Paper], locale: str, day: str, currency: str, digits: int) -> None:
    """Dates and amounts are printed as the locale and the currency want, with no character missing."""
    made = quote(BENCH, f"shop.locale={locale}", f"shop.currency={currency}")
    assert day in made.text
    assert made.amount(made.priced.chain.total) in made.text
    assert made.priced.digits == digits
    assert made.warned == {}
    assert_well_set(made.data)


VAT = ("tax.registered=true", "tax.name=VAT", "tax.rate=20 %")


def test_tax_added(quote: Callable[..., Paper]) -> None:
    """Tax that is added stands between subtotal and total."""
    made = quote(BENCH, *VAT)
    chain = made.priced.chain
    goods, tax, total = map(made.amount, (chain.goods, chain.tax, chain.total))
    assert f"Price of the piece {goods}" in made.text
    assert f"VAT 20% {tax} Total {total}" in made.text
    assert "Subtotal" not in made.text  # it would say the price of the piece once more
    with_discount = BENCH.replace("[delivery]", '[price]\ndiscount = "10 %"\n[delivery]')
    made = quote(with_discount, *VAT)
    chain = made.priced.chain
    assert f"Subtotal {made.amount(chain.net)} VAT 20% {made.amount(chain.tax)}" in made.text


def test_tax_included(quote: Callable[..., Paper]) -> None:
    """A price with its tax is one figure, and tells below the total what tax and net are in it."""
    made = quote(BENCH, *VAT, "tax.shown=included")
    chain = made.priced.chain
    net, tax, total = map(made.amount, (chain.net, chain.tax, chain.total))
    assert f"Price of the piece {total}" in made.text
    assert f"Total {total} VAT 20% included {tax} Net {net}" in made.text


def test_tax_included_with_discount_and_delivery(quote: Callable[..., Paper]) -> None:
    """Every row of a price shown with its tax holds its tax: the rows above the total sum to it."""
    job = BENCH.replace("12 mi", "90 mi").replace(
        "[delivery]", '[price]\ndiscount = "10 %"\nwhy = "second bench"\n[delivery]'
    )
    for tax_the_trip in ("true", "false"):
        made = quote(job, *VAT, "tax.shown=included", f"tax.tax_the_trip={tax_the_trip}")
        chain, seen = made.priced.chain, made.priced.chain.seen
        assert f"Price of the piece {made.amount(seen.goods)}" in made.text
        assert f"Discount (second bench) \u2212{made.amount(seen.discount)}" in made.text
        assert f"Delivery {made.amount(seen.surcharge)} Total {made.amount(chain.total)}" in made.text
        assert seen.goods - seen.discount + seen.surcharge == chain.total
        assert f"{made.amount(chain.tax)} Net {made.amount(chain.net)}" in made.text


def test_without_tax(quote: Callable[..., Paper]) -> None:
    """A shop that charges no tax prints no word of it."""
    text = quote().text
    assert "Sales tax" not in text
    assert "Subtotal" not in text
    assert " Net " not in text


def test_collected(quote: Callable[..., Paper]) -> None:
    """A piece that is fetched says so instead of a delivery."""
    assert (
        "Delivery: to be collected from the workshop"
        in quote(BENCH.replace('road_distance = "12 mi"', "collect = true")).text
    )


def test_ready(quote: Callable[..., Paper]) -> None:
    """The quote promises the maker's own day, else whole weeks rounded up."""
    made = quote()
    weeks = -(-made.priced.quantities["lead_days"] // 7)
    assert f"about {weeks:g} weeks after" in made.text.replace("about one week", "about 1 weeks")
    job = BENCH.replace("[delivery]", '[quote]\nready_by = 2027-06-30\nvalid = "14 days"\n[delivery]')
    text = quote(job).text
    assert "by June 30, 2027" in text
    assert "March 15, 2027" in text


def test_notes_follow_what_the_piece_holds(quote: Callable[..., Paper]) -> None:
    """Glass, resin, a tall and a heavy piece each bring their note; a plain bench brings none."""
    assert "Please note" not in quote(BENCH, "warnings.lift_index=9").text
    job = (BENCH + SHELF).replace('height = "18 in"', 'height = "40 in"')
    text = quote(job, "warnings.lift_index=0.2").text
    for words in ("The glass is heavy", "Fix this piece to a wall", "Keep hot pans and strong"):
        assert words in text
    assert re.search(r"weighs about \d+ lb:", text)
    assert "Tempered safety glass: shelf" in text
    assert "Resin coating: top coat" in text
    assert "Brass: bracket" in text


def test_options_only_where_wanted(quote: Callable[..., Paper], reckoned: Callable[..., Priced]) -> None:
    """Options stand on the quote with their totals where the job wants them shown."""
    options = (Variant("Cherry", "the same bench in cherry", Decimal("4321.00")),)
    hidden = replace(reckoned(), options=options)
    assert "4,321.00" not in paper(hidden).text
    shown = replace(
        reckoned(BENCH.replace("[delivery]", "[quote]\nshow_options = true\n[delivery]")), options=options
    )
    assert "Cherry the same bench in cherry $4,321.00" in paper(shown).text


def test_total_on_page_one(quote: Callable[..., Paper]) -> None:
    """With twelve items included and a picture the total stands on the first page."""
    for size in ("A4", "Letter"):
        made = quote(with_items(12), f"shop.paper={size}", picture=photograph())
        assert f"Total {made.amount(made.priced.chain.total)}" in made.pages[0]


@pytest.mark.parametrize(
    "count", [9, 25, 26, 61, *(pytest.param(count, marks=pytest.mark.exhaustive) for count in (13, 24, 60))]
)
@pytest.mark.parametrize(
    "words",
    [
        "item {i}",
        "item {i}, told at such length that it takes a line of its own, and then a good part of the next",
    ],
)
def test_long_lists_flow(quote: Callable[..., Paper], count: int, words: str) -> None:
    """A long list flows on: every item once, no heading last and no item alone on a page."""
    made = quote(with_items(count, words))
    for i in range(1, count + 1):
        assert len(re.findall(rf"item {i}\b", made.text)) == 1
    for page in made.pages:
        body = page.rpartition(" My workshop ·")[0]
        assert not body.endswith(
            ("Included", "Not included", "Materials", "Terms", "Payments", "I accept this quote")
        )
        assert len(re.findall(r"\bitem \d+", page)) != 1
    assert_well_set(made.data)


def test_a_text_longer_than_a_page(quote: Callable[..., Paper]) -> None:
    """Texts that no page can hold are broken over pages, whichever field they stand in."""
    long = "ten words to fill the page of the quote here " * 120
    for field in (
        "A bench for two by the window.",
        "felt feet",
        "3 Mill Row",
        "Ada Fenwick",
        "Reading bench",
    ):
        made = quote(BENCH.replace(field, long), picture=photograph())
        assert made.text.count("words") >= 120
        assert_well_set(made.data)


def photograph(size: tuple[int, int] = (900, 600), kind: str = "JPEG") -> bytes:
    out = BytesIO()
    Image.new("RGB", size, "#8a6f4d").save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(("size", "kind"), [((900, 600), "JPEG"), ((300, 1200), "PNG"), ((4000, 100), "PNG")])
def test_picture_keeps_its_ratio(quote: Callable[..., Paper], size: tuple[int, int], kind: str) -> None:
    """A picture is fitted into its place and keeps its shape."""
    data = quote(BENCH, picture=photograph(size, kind)).data
    with pdfplumber.open(BytesIO(data)) as document:
        (image,) = document.pages[0].images
        assert image["width"] / image["height"] == pytest.approx(size[0] / size[1], rel=0.03)
        assert image["x1"] <= document.pages[0].width - SIDE + 0.5
    assert_well_set(data)


@pytest.mark.parametrize("accent", ["#ffffff", "#ffff00", "#2f5d50", "#ff8800", "#000000"])
def test_accent_can_be_read(accent: str) -> None:
    """Whatever colour a shop chooses, text in it stands out from the paper."""
    assert contrast_on_white(readable(accent)) >= LEAST_CONTRAST


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_everything_at_once_is_well_set(quote: Callable[..., Paper], size: str) -> None:
    """A job with every trade, tax, notes and pictures keeps all words inside the frame and apart."""
    made = quote(
        BENCH + SHELF, *VAT, f"shop.paper={size}", picture=photograph(), logo=photograph((400, 200), "PNG")
    )
    assert_well_set(made.data)
