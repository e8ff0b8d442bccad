"""The price file of a shop edited row by row: a row added, a price and its day changed, every other byte alike."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from quoting.errors import Problem, Problems, Reading, refuse, refused, unknown
from quoting.job.files import PRICE_FILE
from quoting.job.stock import PRICE_COLUMNS, read_prices
from quoting.reading.sources import Source, as_read, fingerprint
from quoting.reading.table_edit import with_cells, with_row
from quoting.reading.tables import rows
from quoting.runs.as_shown import Changed
from quoting.written import rewritten


class PricesEdited(NamedTuple):
    """The price file after an edit: what is wrong in it, and the items that somebody else had changed since it was shown."""

    source: Source
    problems: tuple[Problem, ...]
    meanwhile: tuple[str, ...]


def add_price(folder: Path, cells: Mapping[str, Any], shown: Source) -> PricesEdited:
    """Add a row below the last one, its cells by column as a maker types them. Raises Problems for a column that does not exist, and where
    the row would not be read as it was typed.
    """
    said = {column: str(cell) for column, cell in cells.items() if cell is not None}
    for column in said:
        if column not in PRICE_COLUMNS:
            raise Problems([unknown(column, column, PRICE_COLUMNS).at(PRICE_FILE, 0)])
    return _edited(folder, shown, lambda text: with_row(text, PRICE_COLUMNS, said))


class NewPrice(NamedTuple):
    """A price, as a maker types it, for the row that was shown on a line; with its day where it has one."""

    line: int
    price: Any
    dated: date | None = None


def change_prices(folder: Path, wanted: Sequence[NewPrice], shown: Source) -> PricesEdited:
    """Change prices, and their days, all or none; a row may stand on another line than it was shown on. Raises Changed where one of them
    says anything else now.
    """
    then = _cells(shown.text)
    refuse(
        Problem.of(f"line {one.line}", "found no row", "name the line of one", "no_place").at(PRICE_FILE)
        for one in wanted
        if one.line not in then
    )

    def make(text: str) -> str:
        for one in wanted:
            now = _cells(text)
            same = [line for line in now if now[line] == then[one.line]]
            if not same:
                _changed(then[one.line], list(now.values()), str(one.price))
            cells = {"price": str(one.price)} | (
                {"dated": one.dated.isoformat()} if one.dated is not None else {}
            )
            text = with_cells(text, PRICE_COLUMNS, one.line if one.line in same else same[0], cells)
        return text

    return _edited(folder, shown, make)


def _cells(text: str) -> dict[int, dict[str, str]]:
    return {row.line: row.cells for row in rows(text, PRICE_COLUMNS)[0]}


def _changed(then: Mapping[str, str], now: list[dict[str, str]], mine: str) -> None:
    """Raises Changed for a row that somebody changed or took out."""
    theirs = [one["price"] for one in now if (one["item"], one["pack"]) == (then["item"], then["pack"])]
    found = f"found {' and '.join(theirs) or 'no row'} in the file, where a row of {then['price']} was shown"
    wanted = f"look at the file as it is now, and write {mine} again"
    problem = Problem.of(then["item"], found, wanted, "changed", now=theirs, then=then["price"])
    raise Changed(problem.at(PRICE_FILE), theirs, mine)


def _differing(then: str, now: str) -> tuple[str, ...]:
    """Items of which rows differ between two price files."""
    before, after = ({tuple(row.values()) for row in _cells(text).values()} for text in (then, now))
    return tuple(sorted({row[0] for row in before ^ after}))


def _edited(folder: Path, shown: Source, make: Callable[[str], str]) -> PricesEdited:
    after = shown
    meanwhile: tuple[str, ...] = ()

    def rewrite(data: bytes) -> bytes:
        nonlocal after, meanwhile
        try:
            text = data.decode("utf-8")
            new = make(text)
            written = new.encode()
        except Reading as wrong:
            raise Problems([wrong.problem("").at(PRICE_FILE)]) from None
        except UnicodeError:
            found, wanted = "found what is no text in UTF-8", "save it as UTF-8"
            raise refused("", found, wanted, PRICE_FILE, code="not_utf8") from None
        meanwhile = _differing(shown.text, text)
        read = as_read(new)
        after = Source(PRICE_FILE, read, {}, fingerprint(read))
        return written

    rewritten(folder / PRICE_FILE, rewrite)
    wrong = read_prices(after.text)[1]
    return PricesEdited(after, tuple(one.at(PRICE_FILE, one.line) for one in wrong), meanwhile)
