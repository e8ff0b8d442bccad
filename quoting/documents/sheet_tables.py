"""Tables of the take-off sheets: lines that are reckoned alike, and what their columns hold."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from openpyxl.utils import get_column_letter

from quoting.documents.sheet_inputs import PARTS, shown_as
from quoting.documents.sheet_names import title_of
from quoting.formulas.number import value_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.costing.lines import Line
    from quoting.documents.sheet_book import Book
    from quoting.documents.sheet_inputs import Shown

SLOT = re.compile(r"{(\w+)(?::(\w+))?}")
FEW_MINUTES_H = 0.1
ALIKE = 0.5  # tables are joined where at least this part of their columns is common


@dataclass(slots=True)
class Table:
    """Lines of one kind, their columns (slots of the basis with their dimension), and where the table stands.

    `units` is how every column is shown, known once all lines are there.
    """

    title: str
    lines: list[Line]
    slots: dict[str, str]
    own_hours: bool = False
    row: int = 0
    units: dict[str, Shown] = field(default_factory=dict)

    def column(self, slot: str) -> str:
        """The letter of a slot's column."""
        return str(get_column_letter(3 + list(self.slots).index(slot)))

    @property
    def result(self) -> str:
        """The letter of the last column: the quantity that the line takes over."""
        return str(get_column_letter(3 + len(self.slots) + (2 if self.own_hours else 0)))

    @property
    def mark(self) -> str:
        """The letter of the column that tells of hours of the maker's own."""
        return str(get_column_letter(4 + len(self.slots) + 2))


def columns_shown(table: Table, book: Book) -> dict[str, Shown]:
    """How each column is shown: in the unit that suits its largest value, minutes where one is minutes."""
    values: dict[str, list[float]] = defaultdict(list)
    for line in table.lines:
        for slot, dimension in slots_of(line).items():
            if dimension != "text":
                values[slot].append(abs(float(value_of(line.basis.numbers[slot]))))
    shown = {}
    for slot, those in values.items():
        least = min(filter(None, those), default=0.0)
        suits = least if table.slots[slot] == "time" and least < FEW_MINUTES_H else max(those)
        shown[slot] = shown_as(table.slots[slot], suits, book)
        if shown[slot].shape == "General" and any(value % 1 for value in those):
            shown[slot] = shown[slot]._replace(shape=PARTS)
    return shown


def slots_of(line: Line) -> dict[str, str]:
    """The slots of a line's basis that hold numbers, by name, with their dimension."""
    found = {name: of or "text" for name, of in SLOT.findall(line.basis.words)}
    return {
        name: of for name, of in found.items() if of != "text" or isinstance(line.basis.numbers[name], str)
    }


def tables_of(lines: Iterable[Line], labour: bool, own: frozenset[str]) -> list[Table]:
    """Lines of a sheet in tables: those that are reckoned alike stand below one another.

    `own` are the ids of lines whose hours the maker may state instead.
    """
    tables: list[Table] = []
    for line in lines:
        slots = slots_of(line)
        for table in tables:
            common, either = slots.keys() & table.slots.keys(), slots.keys() | table.slots.keys()
            same = all(table.slots[name] == slots[name] for name in common)
            fits = table.own_hours == (line.id in own) if labour else table.title == title_of(line)
            if same and fits and len(common) >= ALIKE * len(either):
                table.lines.append(line)
                table.slots |= {name: of for name, of in slots.items() if name not in table.slots}
                break
        else:
            title = "hours" if labour else title_of(line)
            tables.append(Table(title, [line], dict(slots), own_hours=line.id in own))
    return tables
