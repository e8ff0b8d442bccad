"""Lists to choose from in a job that is filled in as a spreadsheet; other values are told when the job is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from quoting.job.book_cells import AS_TOML, LISTS, choices_of, field_hint
from quoting.job.text import toml_value

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from openpyxl.worksheet.worksheet import Worksheet

    from quoting.documents.cells import Page

YES_NO = ("yes", "no")
LISTED = {
    "species": "species", "fibre": "fibres", "metal": "metals", "item": "prices", "product": "prices", "ply": "prices", "resin": "resin",
    "machine": "machine",
}  # fmt: skip
"""Fields whose values are names that stand elsewhere, and the list of those."""


def write_lists(page: Page, lists: Mapping[str, Sequence[str]]) -> None:
    """The hidden sheet whose columns the fields choose from."""
    for column, (name, values) in enumerate(lists.items(), start=1):
        letter = get_column_letter(column)
        page.text(f"{letter}1", name, "head")
        for row, value in enumerate(values, start=2):
            page.text(f"{letter}{row}", toml_value(value) if value.startswith(AS_TOML) else value)
    page.sheet.sheet_state = "hidden"


def offer(sheet: Worksheet, at: str, section: str, field: str, lists: Mapping[str, Sequence[str]]) -> None:
    """Let the cells choose, where their field takes one of a few values, or names what stands in a list."""
    listed = LISTED.get(field, "")
    if lists.get(listed):
        letter = get_column_letter(list(lists).index(listed) + 1)
        formula = f"{LISTS}!${letter}$2:${letter}${len(lists[listed]) + 1}"
    else:
        choices = YES_NO if field_hint(section, field) is bool else choices_of(section, field)
        if not choices:
            return
        formula = f'"{",".join(choices)}"'
    rule = DataValidation(type="list", formula1=formula, allow_blank=True, showErrorMessage=False)
    sheet.add_data_validation(rule)
    rule.add(at)
