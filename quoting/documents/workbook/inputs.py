"""Cells that a maker may change: what each of them takes, and the block of inputs at the top of a sheet."""

from decimal import Decimal
from typing import Any, NamedTuple

from openpyxl.worksheet.datavalidation import DataValidation

from quoting.documents.paper.text import said_path
from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import GREYED, RIGHT, SHARE, Page, rate_format, show_where
from quoting.formulas.inputs import Input
from quoting.measures.showing import unit_shown

HEAD_ROW = 3
AGAIN = "run again"
PARTS = "#,##0.0###"
CHANGED, CHANGED_GUARDED, CHOOSE = "changed", "changed (reserve)", "choose share"
UNCHANGED_GUARDED = f'IF(reserve_by="drawn","{CHOOSE}","")'
DIVISORS = (
    "sold_hours", "life_hours", "hours_per_year", "sold_hours", "speed", "coverage", "yield", "learning",
)  # fmt: skip
"""Inputs that something is divided by: above zero."""


def share_input(page: Page, at: str, value: float | Decimal, whole: bool = False) -> None:
    """A share that may be changed, from 0 to below 100 %; `whole` allows 100 % and more."""
    page.number(at, value, SHARE, "input")
    wanted, most = ("a share, 0 or more", "100") if whole else ("a share from 0 to below 100 %", "0.9999")
    _allow(page, at, wanted, operator="between", formula1="0", formula2=most)


def amount_input(page: Page, at: str, value: float | Decimal, shape: str = "", least: str = "0") -> None:
    """An amount, a quantity or a rate that may be changed: `least` or more."""
    page.number(at, value, shape, "input")
    _allow(page, at, f"a number, {least} or more", operator="greaterThanOrEqual", formula1=least)


def choice_input(page: Page, at: str, value: str, choices: tuple[str, ...]) -> None:
    """One of a few words."""
    page.text(at, value, "input")
    page.sheet[at].alignment = RIGHT
    _allow(page, at, " or ".join(choices), type="list", formula1=f'"{",".join(choices)}"')


def bounded_input(
    page: Page, at: str, value: float, shape: str, least: float, most: float, guarded: bool = False
) -> None:
    """A number that may be changed between bounds; one that would move a drawn reserve is guarded."""
    page.number(at, value, shape, "input")
    low, high = (repr(end).upper() for end in (least, most))
    if guarded:
        _guard(page, at, f"AND({at}>={low},{at}<={high})")
    else:
        _allow(
            page, at, f"a number from {least:g} to {most:g}", operator="between", formula1=low, formula2=high
        )


def own_input(page: Page, at: str, shape: str, guarded: bool) -> None:
    """An empty cell for hours of the maker's own."""
    cell = page.dressed(at, "input")
    cell.number_format, cell.alignment = shape, RIGHT
    if guarded:
        _guard(page, at, f"{at}>=0")
    else:
        _allow(page, at, "hours, 0 or more", operator="greaterThanOrEqual", formula1="0")


def _guard(page: Page, at: str, inside: str) -> None:
    """Let a cell take a number that is `inside`, and only while the reserve is a share; with a drawn one it is grey."""
    words = (
        "The reserve is drawn and would move. Set it by a share (sheet Price), or write this workbook again."
    )
    formula = f'AND(reserve_by="share",ISNUMBER({at}),{inside})'
    _rule(page, words, type="custom", formula1=formula, allow_blank=True).add(at)
    show_where(page.sheet, at, 'reserve_by="drawn"', GREYED)


def _allow(page: Page, at: str, wanted: str, type: str = "decimal", **rule: Any) -> None:
    """Let a cell take only what `wanted` says; cells that want the same share one rule."""
    if wanted not in page.rules:
        page.rules[wanted] = _rule(page, f"Write {wanted}.", type=type, allow_blank=False, **rule)
    page.rules[wanted].add(at)


def _rule(page: Page, error: str, **rule: Any) -> DataValidation:
    """A new rule of a sheet, with what it says to whoever breaks it."""
    made = DataValidation(showErrorMessage=True, errorTitle="Not here", error=error, **rule)
    page.sheet.add_data_validation(made)
    return made


class Shown(NamedTuple):
    """An input as a sheet shows it: its unit, that unit's size, its number format."""

    unit: str
    size: float
    shape: str


def shown_as(dimension: str, value: float, book: Book) -> Shown:
    """How a value of a dimension is shown: its unit by the shop's system and the value's size."""
    if dimension == "share":
        return Shown("%", 1.0, SHARE)
    if dimension in ("", "number", "count"):
        return Shown("", 1.0, "General" if value % 1 == 0 else PARTS)
    money, _, of = dimension.partition(" a ")
    if money == "money":
        currency, fine = book.priced.currency, rate_format(book.priced.digits)
        return Shown(f"{currency} a {of}" if of else currency, 1.0, fine)
    unit, size = unit_shown(value, dimension, book.priced.shop.shop.units)
    if money.startswith("money"):
        return Shown(f"{book.priced.currency} {unit}", size, rate_format(book.priced.digits))
    return Shown(unit, size, PARTS)


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
        else:
            _write_live(book, page, row, one, as_)


def _write_live(book: Book, page: Page, row: int, one: Input, as_: Shown) -> None:
    guarded = one.path in book.plan.guarded
    value, least, most = (number / as_.size for number in (one.value, *_bounds(one, book)))
    bounded_input(page, f"B{row}", value, as_.shape, least, most, guarded)
    same, word, known = (UNCHANGED_GUARDED, CHANGED_GUARDED, CHOOSE) if guarded else ('""', CHANGED, "")
    page.formula(f"G{row}", f'IF(ROUND(B{row}-D{row},12)=0,{same},"{word}")', known, "@", "note")
    book.marks.append(f"{page.sheet.title}!$G${row}")


def _bounds(one: Input, book: Book) -> tuple[float, float]:
    """What may be written: what the files would take. Nothing below zero, no division by zero, no distance too far."""
    field = one.path.rpartition(".")[2]
    if one.dimension == "distance" and one.path.endswith("_distance"):
        furthest = book.priced.shop.delivery.furthest
        return 0.0, furthest / book.priced.shop.delivery.road_factor if "straight" in one.path else furthest
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
