"""The block of inputs at the top of a sheet: what may be changed there, and what the files say."""

from typing import NamedTuple

from openpyxl.formatting.rule import Rule
from openpyxl.styles import PatternFill
from openpyxl.styles.differential import DifferentialStyle

from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import Page
from quoting.documents.workbook.looks import GREY_COLOUR, SHARE, rate_format
from quoting.documents.workbook.names import HOMES, said_path
from quoting.documents.workbook.open_cells import bounded_input, guarded_input
from quoting.formulas.inputs import Input
from quoting.measures.showing import unit_shown

HEAD_ROW = 3
AGAIN = "run again"
PARTS = "#,##0.0###"
CHANGED, CHANGED_GUARDED, CHOOSE = "changed", "changed (reserve)", "choose share"
UNCHANGED_GUARDED = f'IF(reserve_by="drawn","{CHOOSE}","")'
DIVISORS = (
    "paid_hours",
    "life_hours",
    "hours_per_year",
    "billable_hours",
    "speed",
    "coverage",
    "yield",
    "learning",
)
"""Inputs that something is divided by: above zero."""


class Shown(NamedTuple):
    """An input as a sheet shows it: its unit, that unit's size, its number format."""

    unit: str
    size: float
    shape: str


def shown_as(dimension: str, value: float, book: Book) -> Shown:
    """How a value of a dimension is shown: its unit by the shop's system and the value's size."""
    if dimension == "share":
        return Shown("%", 1.0, SHARE)
    system = book.priced.shop.shop.units
    if dimension.startswith("money"):
        of = dimension.partition(" a ")[2]
        if of or dimension == "money":
            return Shown(f"{book.currency} a {of}" if of else book.currency, 1.0, rate_format(book.digits))
        unit, size = unit_shown(value, dimension, system)
        return Shown(f"{book.currency} {unit}", size, rate_format(book.digits))
    if dimension in ("", "number", "count"):
        return Shown("", 1.0, "General" if value % 1 == 0 else PARTS)
    unit, size = unit_shown(value, dimension, system)
    return Shown(unit, size, PARTS)


def home_of(one: Input, first_use: str) -> str:
    """The sheet on which an input stands; one of a part of the job stands with that part."""
    section = one.path.partition(".")[0]
    return first_use if one.source == "job file" and section == "machine" else HOMES.get(section, first_use)


def place_inputs(book: Book, sheet: str, inputs: list[Input]) -> int:
    """Give every input of a sheet its cell. Returns the first free row."""
    for row, one in enumerate(inputs, start=HEAD_ROW + 1):
        size = shown_as(one.dimension, one.value, book).size
        book.formulas.stand(book.plan.leaves[one.path], f"{sheet}!$B${row}", size)
    return HEAD_ROW + 1 + len(inputs)


def write_inputs(book: Book, page: Page, inputs: list[Input]) -> None:
    """Fill the block. A live input is marked once it differs from the files; a fixed one says so."""
    heads = ("Input", "Value", "Unit", "In your files", "Low", "High", "Mark", "Where it stands")
    page.heads(HEAD_ROW, heads, figures="BDEF")
    for row, one in enumerate(inputs, start=HEAD_ROW + 1):
        as_ = shown_as(one.dimension, one.value, book)
        page.text(f"A{row}", said_path(one.path), "wrap")
        page.text(f"C{row}", as_.unit)
        page.number(f"D{row}", one.value / as_.size, as_.shape, "note")
        if one.low != one.high:
            page.number(f"E{row}", one.low / as_.size, as_.shape, "note")
            page.number(f"F{row}", one.high / as_.size, as_.shape, "note")
        page.text(f"H{row}", f"{one.path} ({one.source})", "note")
        if one.path in book.plan.fixed:
            page.number(f"B{row}", one.value / as_.size, as_.shape, "grey")
            page.text(f"G{row}", AGAIN, "note")
            continue
        _write_live(book, page, row, one, as_)


def _write_live(book: Book, page: Page, row: int, one: Input, as_: Shown) -> None:
    at, guarded = f"B{row}", one.path in book.plan.guarded
    value, least, most = (number / as_.size for number in (one.value, *_bounds(one, book)))
    if guarded:
        guarded_input(page, at, value, as_.shape, least, most)
        guard(page, at)
    else:
        bounded_input(page, at, value, as_.shape, least, most)
    same, word = (UNCHANGED_GUARDED, CHANGED_GUARDED) if guarded else ('""', CHANGED)
    known = CHOOSE if guarded else ""
    page.formula(f"G{row}", f'IF(ROUND(B{row}-D{row},12)=0,{same},"{word}")', known, "@", "note")
    book.marks.append(f"{page.sheet.title}!$G${row}")


def guard(page: Page, at: str) -> None:
    """Show an input grey as long as the reserve is a drawn one."""
    fill = PatternFill(bgColor=GREY_COLOUR, fill_type="solid")
    rule = Rule("expression", dxf=DifferentialStyle(fill=fill), formula=['reserve_by="drawn"'])
    page.sheet.conditional_formatting.add(at, rule)


def _bounds(one: Input, book: Book) -> tuple[float, float]:
    """What may be written: what the files would take. Nothing below zero, no division by zero, no distance too far."""
    field = one.path.rpartition(".")[2]
    if one.dimension == "distance" and one.path.endswith("_distance"):
        furthest = book.priced.shop.delivery.furthest
        return 0.0, furthest / book.priced.shop.delivery.circuity if "straight" in one.path else furthest
    pair = {"resale": "price", "price": "resale"}.get(field)
    other = book.plan.inputs.get(f"{one.path.rpartition('.')[0]}.{pair}")
    if one.path.startswith("machine.") and other:  # a machine never fetches more than it cost
        return (0.0, other.value) if field == "resale" else (other.value, 1e9)
    if field in ("learning", "yield", "attended"):
        return 0.01 if field != "attended" else 0.0, 1.0
    if field == "mixing_loss":
        return 0.0, 0.9
    least = max(one.value, 1e-6) / 1000 if field in DIVISORS else 0.0
    return least, 10.0 if one.dimension == "share" else 1e9
