"""What there is to buy and to cut: the price file, tallies of a yard or a rack, and the stock that a job lists."""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import floor
from pathlib import Path
from typing import NamedTuple

from quoting import measures
from quoting.errors import Problem, Reading
from quoting.job.job import BarLength, Board, Defect, From, Job, SheetSize
from quoting.measures.spelling import unread
from quoting.measures.units import Unit
from quoting.reading.readers import MOST_COUNTED, day, shown, text, word
from quoting.reading.sources import Source, Wanted, collected, file_beside, read_plain
from quoting.reading.tables import Cells, Row, rows
from quoting.values import INCH_M, StockKind, key, rough_text

PRICE_COLUMNS = ("item", "unit", "price", "pack", "lead", "supplier", "dated", "note")
TALLY_COLUMNS = ("species", "stock", "length", "width", "count", "price")
KINDS: dict[str, StockKind] = {"sheet": "sheet", "bar": "bar"}
"""What stands for a rough thickness in rows of sheet goods and of bars, whose item stands for a species."""

TALLY = Wanted(
    (".csv",), "CSV", "table", "write the name of a CSV file in the folder of the job, such as yard.csv"
)


@dataclass(frozen=True, slots=True)
class Price:
    """A row of the price file, for an item and pack: the price of one unit [money], not of the pack [units]; lead time [days]."""

    item: str
    unit: Unit
    price: float
    pack: float | None = None
    lead_days: float = 0.0
    supplier: str = ""
    dated: date | None = None
    note: str = ""
    line: int = 0
    position: int = 0


def _price(row: Row, problems: list[Problem]) -> Price | None:
    cells, said = Cells(row, row.cells["item"], problems), row.cells
    unit = cells.read("unit", measures.unit)
    price = cells.read("price", _money)
    lead = cells.read("lead", lambda said: measures.measure(said, "time") / 24) if said["lead"] else 0.0
    dated = cells.read("dated", day) if said["dated"] else None
    pack = cells.read("pack", lambda said: _pack(said, unit)) if said["pack"] and unit else None
    item, supplier, note = (cells.read(column, text) for column in ("item", "supplier", "note"))
    if not said["item"]:
        cells.note("item", Problem.of("item", "found nothing", "write the item's name", "missing"))
    if cells.wrong or unit is None or price is None or lead is None or not item:
        return None
    return Price(item, unit, price, pack, lead, supplier or "", dated, note or "", row.line, row.position)


def _money(said: str) -> float:
    return measures.measure(said, "money")


def _pack(text: str, unit: Unit) -> float:
    """A pack in units of the row: "4" or "4 L"."""
    try:
        size = measures.measure(text, "number")
    except Reading:
        if unit.dimension == "count":
            size = measures.measure(text.removesuffix("s").removesuffix(unit.name).strip(), "number")
        else:
            size = measures.measure(text, unit.dimension) / unit.factor
    if size <= 0:
        raise Reading(
            f"found {shown(text)}", "write a pack above zero, or leave it empty", "zero", found=shown(text)
        )
    return size


def read_prices(text: str) -> tuple[dict[str, tuple[Price, ...]], list[Problem]]:
    """The price file by `key(item)`, and what is wrong with it (without file names)."""
    book: dict[str, list[Price]] = {}
    found, problems = rows(text, PRICE_COLUMNS)
    for one in found:
        row = _price(one, problems)
        if row is None:
            continue
        others = book.setdefault(key(row.item), [])
        if others and others[0].unit.name != row.unit.name:
            wanted = f'write "{others[0].unit.name}" as in line {others[0].line}'
            problems.append(_unlike(one, "unit", row.unit.name, others[0].unit.name, wanted))
        if others and others[0].supplier != row.supplier:
            wanted = f'write "{others[0].supplier}" as in line {others[0].line}, or another item name'
            problems.append(_unlike(one, "supplier", row.supplier, others[0].supplier, wanted))
        others.append(row)
    return {name: tuple(those) for name, those in book.items()}, problems


def _unlike(row: Row, column: str, found: str, other: str, wanted: str) -> Problem:
    """A row that says of its item what another row says otherwise."""
    field, words = f"{row.cells['item']}.{column}", f'found "{found}"'
    problem = Problem.of(field, words, wanted, "conflict", found=found, other=other)
    return problem.at("", row.line, (row.position, column))


class StockRow(NamedTuple):
    """Stock of one size, wherever it was written: `path` is its place in the job file, `file` and `line` that in a tally.

    `name` is a species, or the item of a sheet or bar; no `rough_m` for those, no `width_m` for bars. No number: as many as
    are bought. The price is of one of them; none: that of the price file.
    """

    kind: StockKind
    name: str
    rough_m: float
    length_m: float
    width_m: float
    number: int | None = None
    price: float | None = None
    supplied: From = "bought"
    defects: tuple[Defect, ...] = ()
    path: str = ""
    file: str = ""
    line: int = 0

    @property
    def where(self) -> str:
        """Where it is written, for people; what is listed nowhere is the size that the parts name themselves."""
        return self.path or (f"{self.file} line {self.line}" if self.file else "the usual size")


def all_stock(job: Job, folder: Path) -> tuple[tuple[StockRow, ...], tuple[Source, ...], list[Problem]]:
    """The stock that a job lists and that of its tallies; the tallies as they were read; what is wrong with them."""
    stock = list(stock_rows(job))
    sources: list[Source] = []
    problems: list[Problem] = []
    seen: list[Path] = []
    named: tuple[tuple[str, str, From], ...] = (
        ("cut.tally", job.cut.tally, "bought"), ("cut.rack", job.cut.rack, "rack"),
    )  # fmt: skip
    for field, name, supplied in named:
        if not name:
            continue
        try:
            path = file_beside(folder, name, TALLY)
        except Reading as wrong:
            problems.append(wrong.problem(field))
            continue
        if path in seen:
            problems.append(Problem.of(field, "found the file of the other", "write each file once", "twice"))
        elif (source := collected(problems, path, read_plain)) is not None:
            found, faults = read_tally(source.text, name, supplied)
            stock, problems = [*stock, *found], [*problems, *faults]
            sources.append(replace(source, name=name))
        seen.append(path)
    problems += [
        Problem.of(f"{row.path}.{side}", "found 0", "write a size above zero", "zero")
        for row in stock
        for side, size in (("length", row.length_m), ("width", row.width_m))
        if row.path and not size and (side == "length" or row.kind != "bar")
    ]
    return tuple(stock), tuple(sources), problems


def read_tally(text: str, name: str, supplied: From) -> tuple[list[StockRow], list[Problem]]:
    """Stock of a tally of some name, and what is wrong with it."""
    found, problems = rows(text, TALLY_COLUMNS, format_asked=False)
    stock = [one for row in found if (one := _stock(row, name, supplied, problems)) is not None]
    return stock, [problem.at(name, problem.line) for problem in problems]


def tally_text(stock: Iterable[StockRow], system: str) -> str:
    """Stock as the text of a tally, in the units of a shop; sizes are rounded down to what a rule shows."""
    out = io.StringIO()
    out.write("# format = 1\n")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(TALLY_COLUMNS)
    for row in stock:
        rough = rough_text(row.rough_m) if row.kind == "board" else row.kind
        sizes = [_on_a_rule(size, system) if size else "" for size in (row.length_m, row.width_m)]
        price = "" if row.price is None else f"{row.price:.2f}"
        table.writerow([" ".join(row.name.split()), rough, *sizes, row.number or "", price])
    return out.getvalue()


def _on_a_rule(size_m: float, system: str) -> str:
    step = INCH_M / 32 if system == "inch" else 0.0001
    return measures.shown(floor(size_m / step * (1 + 1e-9)) * step, "length", system)


def _stock(row: Row, name: str, supplied: From, problems: list[Problem]) -> StockRow | None:
    cells, said = Cells(row, row.cells["species"], problems), row.cells
    kind = KINDS.get(said["stock"].lower(), "board")
    what = cells.read("species", word)
    rough = cells.read("stock", measures.rough) if kind == "board" else 0.0
    length = cells.read("length", _size)
    width = 0.0 if kind == "bar" else cells.read("width", _size)
    count = cells.read("count", _count) if said["count"] or supplied == "rack" else None
    price = cells.read("price", _money) if said["price"] else None
    if cells.wrong or what is None or rough is None or length is None or width is None:
        return None
    return StockRow(kind, what, rough, length, width, count, price, supplied, file=name, line=row.line)


def _size(said: str) -> float:
    size = measures.measure(said, "length")
    if size <= 0:
        raise unread(said, "write a size above zero", "zero")
    return size


def _count(said: str) -> int:
    if not said.isdecimal() or not 0 < int(said) <= MOST_COUNTED:
        wanted = f"write a whole number from 1 to {MOST_COUNTED}"
        if not said:
            raise Reading("found nothing", wanted, "missing", most=MOST_COUNTED)
        raise unread(said, wanted, "not_a_number", most=MOST_COUNTED)
    return int(said)


def stock_rows(job: Job) -> Iterator[StockRow]:
    """The stock that a job file lists itself."""
    for i, board in enumerate(job.board, 1):
        row = StockRow("board", board.species, board.stock, board.length, board.width, defects=board.defects)
        yield _listed(row, board, f"board.{i}")
    for i, size in enumerate(job.sheet_size, 1):
        yield _listed(StockRow("sheet", size.item, 0.0, size.length, size.width), size, f"sheet_size.{i}")
    for i, bar in enumerate(job.bar_length, 1):
        yield _listed(StockRow("bar", bar.item, 0.0, bar.length, 0.0), bar, f"bar_length.{i}")


def _listed(row: StockRow, one: Board | SheetSize | BarLength, path: str) -> StockRow:
    number = 1 if one.count is None and one.supplied == "rack" else one.count
    return row._replace(number=number, price=one.price, supplied=one.supplied, path=path)
