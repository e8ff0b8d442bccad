"""How quotes stand on paper, over samples, long and short jobs, logos, locales, papers and ways of tax.

Each check runs over every document below. Contrast: WCAG 2.1, success criterion 1.4.3 (4.5 : 1 for text). The least
size of letters, 9 pt, and a total that is seen without turning the page: common practice, no source.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, NamedTuple

import pdfplumber
import pypdf
import pytest
from documents.test_quote_pdf import (
    BENCH,
    PRICES,
    SHELF,
    SHOP_LINES,
    assert_well_set,
    photograph,
    plain,
    with_items,
)
from sharing import DAY

from quoting import runs
from quoting.documents.paper.picture import printable
from quoting.documents.paper.text import Ink, QuoteText, glyphs
from quoting.documents.quote.client_view import client_view
from quoting.documents.quote.pdf import quote_bytes
from quoting.job.starters import shipped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.documents.quote.client_view import ClientView
    from quoting.pricing.record import Priced

ROOT = Path(runs.__file__).resolve().parents[2]
SAMPLES = sorted(Path(str(shipped("sample_jobs"))).rglob("jobs/*.toml"))
LEAST_POINTS, LEAST_CONTRAST = 9.0, 4.5

DATED = "[quote]\ndate = 2027-03-01\nshow_options = true\n[delivery]"
OPTIONS = "".join(
    f'[[option]]\nname = "{name}"\nwords = "{words}"\nset = {{ "hardwood.seat.length" = "{size}" }}\n'
    for name, words, size in (
        ("longer", "A seat for three.", "72 in"),
        ("shorter", "A seat for one, for a house with a narrow hall and a stair that turns twice.", "30 in"),
        ("for a child", "", "24 in"),
    )
)
THREE_LINES = """\
format = 1
[piece]
title = "Stool"
[delivery]
collect = true
[[hardwood]]
part = "seat"
species = "white oak"
length = "14 in"
width = "5 in"
thickness = "1 in"
[[finish]]
part = "all faces"
product = "oil"
area = "3 ft2"
[[setback]]
what = "a split"
chance = 0.05
cost = 20
"""
TAXES: dict[str, tuple[str, ...]] = {
    "none": (),
    "added": ("tax.registered=true", "tax.name=VAT", "tax.rate=20 %"),
    "included": ("tax.registered=true", "tax.name=VAT", "tax.rate=20 %", "tax.shown=included"),
}
LOCALES = {"en_US": "USD", "en_GB": "KWD", "de_DE": "USD", "fr_FR": "KWD", "ja_JP": "JPY"}
COUNTS = (1, 2, 7, 11, 12)


class Case(NamedTuple):
    """A job text or the path of a sample, settings, and the sides of picture and logo [px]."""

    job: str | Path
    settings: tuple[str, ...] = ()
    picture: tuple[int, int] | None = None
    logo: tuple[int, int] | None = None


CASES: dict[str, Case] = {
    **{path.stem: Case(path) for path in SAMPLES},
    "25 items, 3 options": Case(with_items(25) + OPTIONS, TAXES["added"], (900, 600)),
    "three lines": Case(THREE_LINES),
    "every trade, no logo": Case(BENCH + SHELF, TAXES["included"]),
    "tall logo": Case(BENCH, (), (600, 900), (100, 600)),
    "wide logo": Case(BENCH, (), None, (1200, 200)),
    **{
        f"{locale} {paper}": Case(
            BENCH + SHELF,
            (f"shop.locale={locale}", f"shop.currency={currency}", f"shop.paper={paper}", *TAXES[tax]),
        )
        for i, (locale, currency) in enumerate(LOCALES.items())
        for paper, tax in (("A4", list(TAXES)[i % 3]), ("Letter", list(TAXES)[(i + 1) % 3]))
    },
    **{
        f"{count} items": Case(
            with_items(count),
            (*TAXES["added"], f"shop.paper={('A4', 'Letter')[count % 2]}"),
            (900, 600),
            (300, 200),
        )
        for count in COUNTS
    },
}


class Made(NamedTuple):
    """A quote, and the record it was drawn from."""

    priced: Priced
    pictures: tuple[bytes | None, bytes | None]
    data: bytes
    view: ClientView

    @property
    def reader(self) -> pypdf.PdfReader:
        return pypdf.PdfReader(BytesIO(self.data))

    @property
    def pages(self) -> list[str]:
        return [plain(page.extract_text()) for page in self.reader.pages]


def priced_of(case: Case) -> Priced:
    """A sample as it stands; a job text with the starter shop."""
    if isinstance(case.job, Path):
        return runs.price(case.job, None, DAY, case.settings)
    with TemporaryDirectory() as folder:
        shop = shipped("templates").joinpath("shop.toml").read_text(encoding="utf-8")
        Path(folder, "shop.toml").write_text(shop.replace("[shop]\n", "[shop]\n" + SHOP_LINES, 1), "utf-8")
        Path(folder, "prices.csv").write_text(PRICES, "utf-8")
        path = Path(folder, "job.toml")
        path.write_text(case.job.replace("[delivery]", DATED, 1), "utf-8")
        return runs.price(path, None, DAY, case.settings)


@cache
def made(name: str) -> Made:
    """The quote of a case, made once for all checks."""
    case = CASES[name]
    priced = priced_of(case)
    pictures = tuple(
        printable(photograph(size, "PNG")) if size else None for size in (case.picture, case.logo)
    )
    picture, logo = pictures
    data, warned = quote_bytes(priced, picture, logo)
    assert warned == ()
    return Made(priced, (picture, logo), data, client_view(priced, QuoteText(priced, Ink(glyphs()))))


every = pytest.mark.parametrize("name", CASES)


def luminance(colour: tuple[float, ...]) -> float:
    """Relative luminance of a grey, RGB or CMYK colour (WCAG 2.1)."""
    if len(colour) == 4:
        colour = tuple((1 - part) * (1 - colour[3]) for part in colour[:3])
    red, green, blue = colour if len(colour) == 3 else colour * 3
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (red, green, blue)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def behind(char: dict[str, Any], page: Any) -> tuple[float, ...]:
    """The colour on which a letter stands: that of the last filled shape around it, else white."""
    x, y = (char["x0"] + char["x1"]) / 2, (char["top"] + char["bottom"]) / 2
    around = [
        rect for rect in page.rects
        if rect["fill"] and rect["x0"] <= x <= rect["x1"] and rect["top"] <= y <= rect["bottom"]
    ]  # fmt: skip
    return tuple(around[-1]["non_stroking_color"]) if around else (1.0,)


@every
def test_words_stand_apart_and_on_the_paper(name: str) -> None:
    assert_well_set(made(name).data)


@every
def test_letters_are_large_and_dark_enough(name: str) -> None:
    seen = set()
    with pdfplumber.open(BytesIO(made(name).data)) as document:
        for page in document.pages:
            for char in page.chars:
                assert char["size"] >= LEAST_POINTS - 0.01, char["text"]
                seen.add((tuple(char["non_stroking_color"]), behind(char, page)))
    assert len(seen) >= 3  # ink, quiet, accent: else nothing was looked at
    for colour, ground in seen:
        light, dark = sorted((luminance(colour), luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= LEAST_CONTRAST, (colour, ground)


@every
def test_fonts_are_few_and_inside_the_file(name: str) -> None:
    families = set()
    for page in made(name).reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            about = font.get_object()
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(about["/FontDescriptor"]), about[
                "/BaseFont"
            ]
            families.add(re.split("[-,]", about["/BaseFont"].rpartition("+")[2])[0])
    assert 1 <= len(families) <= 2


@every
def test_the_file_says_what_it_is(name: str) -> None:
    quote = made(name)
    about, root = quote.reader.metadata, quote.reader.trailer["/Root"]
    assert about is not None
    assert about.title == f"{quote.view.heading}: {quote.view.title}"
    assert re.fullmatch(r"[a-z]{2}-[A-Z]{2}", str(root["/Lang"]))  # type: ignore[index]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]  # type: ignore[index]


def headings(view: ClientView) -> Iterator[str]:
    """What stands over the parts of a quote, from top to bottom."""
    yield view.heading
    yield view.title
    yield view.price_heading
    yield from (schedule.heading for schedule in (view.payments, view.options) if schedule.rows)
    yield from (passage.heading for passage in view.passages)
    if view.accept:
        yield view.accept


def in_order(words: list[str], text: str) -> None:
    """Each of the words is found after the one before."""
    at = 0
    for word in words:
        found = text.find(plain(word), at)
        assert found >= 0, f"{word!r} does not follow in {text[at : at + 200]!r}"
        at = found + len(plain(word))


@every
def test_what_is_read_aloud_follows_the_page(name: str) -> None:
    """In the order of the file: headings, and each price and payment with its label before its amount."""
    quote = made(name)
    text = " ".join(quote.pages)
    in_order(list(headings(quote.view)), text)
    for row in quote.view.price:
        assert plain(f"{row.label} {row.amount}") in text
    for cells in quote.view.payments.rows:
        assert plain(" ".join(cells)) in text


@every
def test_another_reader_finds_the_same_order(name: str, tmp_path: Path) -> None:
    """poppler's, which puts the text together from where it stands on the page."""
    reader = shutil.which("pdftotext")
    if reader is None:
        if os.environ.get("CI"):
            pytest.fail("pdftotext is needed to read quotes, and must be there in CI")
        pytest.skip("pdftotext is not installed: no other reader to ask")
    path = tmp_path / "quote.pdf"
    path.write_bytes(made(name).data)
    text = plain(
        subprocess.run([reader, path, "-"], capture_output=True, encoding="utf-8", check=True).stdout
    )
    view = made(name).view
    in_order([heading for heading in headings(view) if heading != view.title], text)
    start = text.index(plain(view.price[0].label))
    for row in view.price:
        label = text.index(plain(row.label), start)
        assert not row.amount or text.index(plain(row.amount), label) > label


@every
def test_the_total_is_seen_on_page_one(name: str) -> None:
    """For one to twelve items included; a list of 25 leaves it there as well."""
    quote = made(name)
    (total,) = [row for row in quote.view.price if row.kind == "total"]
    assert plain(f"{total.label} {total.amount}") in quote.pages[0]


def test_the_cases_are_what_they_say() -> None:
    """Each locale on both papers, each currency, each way of tax, and one to twelve items, are among the cases."""
    shops = [made(name).priced.shop for name in CASES]
    assert {(shop.shop.locale, shop.shop.paper) for shop in shops} >= {
        (locale, paper) for locale in LOCALES for paper in ("A4", "Letter")
    }
    assert {shop.shop.currency for shop in shops} >= {"USD", "JPY", "KWD"}
    assert {(shop.tax.registered, shop.tax.shown) for shop in shops} >= {
        (False, "added"), (True, "added"), (True, "included"),
    }  # fmt: skip
    assert len(made("25 items, 3 options").view.options.rows) == 3
    assert len(made("25 items, 3 options").priced.job.piece.included) == 25
    assert len(made("three lines").priced.lines) >= 3
    assert {len(made(f"{count} items").priced.job.piece.included) for count in COUNTS} == set(COUNTS)


@every
def test_the_same_quote_is_the_same_file(name: str) -> None:
    quote = made(name)
    assert quote_bytes(quote.priced, *quote.pictures)[0] == quote.data


FINGERPRINTS = """
import hashlib, sys
from datetime import date
from pathlib import Path
from quoting import runs
from quoting.documents.quote.pdf import quote_bytes
for path in sys.argv[1:]:
    print(hashlib.sha256(quote_bytes(runs.price(Path(path), None, date(2027, 3, 1)))[0]).hexdigest())
"""


def test_the_same_quote_on_another_machine_is_the_same_file() -> None:
    """In processes that shuffle their sets and read their clocks otherwise."""
    said = [
        subprocess.run(
            [sys.executable, "-c", FINGERPRINTS, *SAMPLES],
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            encoding="utf-8",
            check=True,
        ).stdout.split()
        for seed, zone in (("1", "Pacific/Kiritimati"), ("4242", "America/Adak"))
    ]
    assert len(set(said[0])) == len(SAMPLES)
    assert said[0] == said[1]
