"""A price changed, a row added in a price file: what was read before is read again, but for that."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from edit.files import WAYS, changed, crlf, marked
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.errors import Problems, Reading
from quoting.job.files import PRICE_FILE
from quoting.job.starters import shipped
from quoting.job.stock import PRICE_COLUMNS, read_prices
from quoting.reading.sources import read_plain
from quoting.reading.table_edit import with_cells, with_row
from quoting.reading.tables import rows
from quoting.runs.as_shown import Changed
from quoting.runs.price_file import NewPrice, add_price, change_prices

if TYPE_CHECKING:
    from collections.abc import Callable

BOOKS = [
    *sorted(Path(str(shipped("sample_jobs"))).rglob(PRICE_FILE)),
    Path(str(shipped("templates"))) / PRICE_FILE,
]
CHECKS = settings(deadline=None, database=None, derandomize=True, max_examples=60)
DAY = date(2027, 3, 1)


def cells(text: str) -> list[list[str]]:
    """The cells of every line, by the standard library."""
    return [[cell.strip() for cell in row] for row in csv.reader(io.StringIO(text.removeprefix("\ufeff")))]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("file", BOOKS, ids=[one.parent.name for one in BOOKS])
def test_every_price_is_changed_alone(file: Path, way: Callable[[str], str]) -> None:
    """Its price and its day differ, and every other sign is alike."""
    text = way(file.read_text("utf-8"))
    before = cells(text)
    for row in rows(text, PRICE_COLUMNS)[0]:
        after = with_cells(text, PRICE_COLUMNS, row.line, {"price": "7.77", "dated": "2027-03-01"})
        now = cells(after)
        assert [i for i, (a, b) in enumerate(zip(before, now, strict=True), start=1) if a != b] == [row.line]
        assert now[row.line - 1][2] == "7.77"
        assert now[row.line - 1][6] == "2027-03-01"
        assert [cell for i, cell in enumerate(now[row.line - 1]) if i not in (2, 6)] == [
            cell for i, cell in enumerate(before[row.line - 1]) if i not in (2, 6)
        ]
        out, into = changed(text, after)
        assert "\n" not in out + into


@pytest.mark.parametrize("way", WAYS)
def test_a_row_is_added_below_the_last(way: Callable[[str], str]) -> None:
    """With the line ends of the row above it; a file that ends without one still does."""
    text = way("# format = 1\nitem,unit,price,pack,lead,supplier,dated,note\noil,L,20,,,,,\n# soon\n\n")
    after = with_row(text, PRICE_COLUMNS, {"item": 'pads, "felt"', "unit": "each", "price": "0.40"})
    assert changed(text, after)[0] == ""
    assert cells(after)[-1 if after.endswith('""",each,0.40,,,,,') else -2][0] == 'pads, "felt"'
    assert way is not crlf or "\n" not in after.replace("\r\n", "")
    assert not (way is marked and after.endswith("\n"))


CELL = st.text(alphabet='ab ,"#é;=', max_size=6)


@CHECKS
@given(
    st.lists(st.lists(CELL, min_size=8, max_size=8), max_size=5),
    st.lists(CELL, min_size=8, max_size=8),
    st.sampled_from(WAYS),
)
def test_tables_at_random(lines: list[list[str]], new: list[str], way: Callable[[str], str]) -> None:
    """Cells with commas, quotes and number signs: what was not meant is read as before."""
    made = io.StringIO()
    csv.writer(made, lineterminator="\n").writerows(lines)
    text = way(f"# format = 1\n{','.join(PRICE_COLUMNS)}\n{made.getvalue()}")
    there, _ = rows(text, PRICE_COLUMNS)
    wanted = dict(zip(PRICE_COLUMNS, (one.strip() for one in new), strict=True))
    for row in there:
        try:
            after, _ = rows(with_cells(text, PRICE_COLUMNS, row.line, wanted), PRICE_COLUMNS)
        except Reading:
            assert not any(wanted.values())
            continue
        assert after == [one._replace(cells=wanted) if one.line == row.line else one for one in there]
    if any(wanted.values()):
        assert rows(with_row(text, PRICE_COLUMNS, wanted), PRICE_COLUMNS)[0][-1].cells == wanted


def test_a_price_of_today(shop: Path) -> None:
    """The row that was shown, wherever it stands now; the file is read again."""
    path = shop / PRICE_FILE
    shown = read_plain(path)
    book, _ = read_prices(shown.text)
    row = book["hard wax oil"][0]
    path.write_text(shown.text.replace("item,", "item,", 1) + "birch ply 3 mm,m2,12,,,,,\n", "utf-8")
    done = change_prices(shop, [NewPrice(row.line, "33.10", DAY)], shown)
    now = read_prices(path.read_text("utf-8"))[0]["hard wax oil"][0]
    assert (now.price, now.dated, done.problems, done.meanwhile) == (33.1, DAY, (), ("birch ply 3 mm",))
    with pytest.raises(Changed, match=r"found 33\.10 in the file"):
        change_prices(shop, [NewPrice(row.line, "34")], shown)
    assert change_prices(shop, [NewPrice(row.line, "33,50")], done.source).problems[0].line == row.line


def test_a_new_row(shop: Path) -> None:
    """By column; what is wrong in it comes back, what would be no row is refused."""
    shown = read_plain(shop / PRICE_FILE)
    done = add_price(
        shop, {"item": "brass pins, 5 mm", "unit": "each", "price": 0.15, "supplier": None}, shown
    )
    assert read_prices(done.source.text)[0]["brass pins, 5 mm"][0].price == 0.15
    assert (done.problems, done.meanwhile) == ((), ())
    assert add_price(shop, {"item": "x", "unit": "furlongs", "price": 1}, done.source).problems
    before = (shop / PRICE_FILE).read_bytes()
    for cells, words in [
        ({"thing": "x"}, "write one of"),
        ({"item": "two\nlines"}, "one line"),
        ({"item": "two\u2028lines"}, "one line"),
        ({"item": "\ud800"}, "no text"),
        ({"item": " "}, "cannot be changed alone"),
    ]:
        with pytest.raises(Problems, match=words):
            add_price(shop, cells, done.source)
    with pytest.raises(Problems, match="found no row"):
        change_prices(shop, [NewPrice(1, 3)], done.source)
    assert (shop / PRICE_FILE).read_bytes() == before
