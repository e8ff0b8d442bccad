"""Open cells: what a maker may type into, and what each of them takes."""

from decimal import Decimal
from typing import Any

from openpyxl.worksheet.datavalidation import DataValidation

from quoting.documents.workbook.cells import Page
from quoting.documents.workbook.looks import RIGHT, SHARE, money_format


def _exact(value: float) -> str:
    """A number as formulas write it."""
    return repr(value).upper()


def share_input(page: Page, at: str, value: float | Decimal, whole: bool = False) -> None:
    """A share that may be changed, from 0 to below 100 %; `whole` allows 100 % and more."""
    page.number(at, value, SHARE, "input")
    wanted, most = ("a share, 0 or more", "100") if whole else ("a share from 0 to below 100 %", "0.9999")
    _allow(page, at, wanted, operator="between", formula1="0", formula2=most)


def amount_input(page: Page, at: str, value: float | Decimal, shape: str = "", least: str = "0") -> None:
    """An amount, a quantity or a rate that may be changed: `least` or more."""
    page.number(at, value, shape or money_format(page.digits), "input")
    _allow(page, at, f"a number, {least} or more", operator="greaterThanOrEqual", formula1=least)


def choice_input(page: Page, at: str, value: str, choices: tuple[str, ...]) -> None:
    """One of a few words."""
    page.text(at, value, "input")
    page.sheet[at].alignment = RIGHT
    _allow(page, at, " or ".join(choices), type="list", formula1=f'"{",".join(choices)}"')


def bounded_input(page: Page, at: str, value: float, shape: str, least: float, most: float) -> None:
    """A number that may be changed between bounds."""
    page.number(at, value, shape, "input")
    wanted = f"a number from {least:g} to {most:g}"
    _allow(page, at, wanted, operator="between", formula1=_exact(least), formula2=_exact(most))


def guarded_input(page: Page, at: str, value: float, shape: str, least: float, most: float) -> None:
    """A number that may be changed only while the reserve is a share, for it would move a drawn one."""
    page.number(at, value, shape, "input")
    _guard(page, at, f"AND({at}>={_exact(least)},{at}<={_exact(most)})")


def own_input(page: Page, at: str, shape: str, guarded: bool) -> None:
    """An empty cell for hours of the maker's own."""
    cell = page.dressed(at, "input")
    cell.number_format, cell.alignment = shape, RIGHT
    if guarded:
        _guard(page, at, f"{at}>=0")
    else:
        _allow(page, at, "hours, 0 or more", operator="greaterThanOrEqual", formula1="0")


def _guard(page: Page, at: str, inside: str) -> None:
    """Let a cell take a number that is `inside`, and only while the reserve is a share."""
    words = "The reserve is drawn and would move. Set it by a share (sheet Price), or run the command again."
    formula = f'AND(reserve_by="share",ISNUMBER({at}),{inside})'
    _rule(page, words, type="custom", formula1=formula, allow_blank=True).add(at)


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
