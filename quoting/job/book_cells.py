"""Cells of a job that is filled in as a spreadsheet: its form, what its cells hold, as a job file says it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import MISSING, fields
from datetime import date, datetime
from itertools import takewhile
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin, get_type_hints

from quoting.errors import Problem
from quoting.job.form import form
from quoting.job.job import Job
from quoting.job.starters import SUCH_AS, Field, explained, safety_notes, sections, words_of

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

SUFFIX = ".xlsx"
SINGLE, LISTS, EXAMPLE, CAUSE = "Job", "Lists", "Example", "cause"
HEADS = ("Section", "Field", "Value", "How it is written")
FIRST_ENTRY = 3
NAME = Field("name", '"wild_grain"', "by which ranges name it", False)
"""The column that the starter job has no field for: the name of a cause."""

NEEDED = "NEEDED"
LEFT_OUT = ("quote", "leave_out")  # the field whose words follow from the trades

AS_TOML = ("[", "{", '"')
"""How text begins that is read as a job file writes it."""

LITERAL = re.compile(r'"[^"]*"|\\.')  # of a number format: signs that are only shown
DAY = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")
NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")
YES_NO = {"yes": True, "true": True, "no": False, "false": False}
BETWEEN = ";"  # entries of a list that is written as plain text


def record_of(section: str) -> Any:
    """The record of a section of a job, or of its entries; None where there is none."""
    hint = get_type_hints(form(Job)).get(section)
    while hint is not None and not hasattr(hint, "__dataclass_fields__"):
        inner = [one for one in get_args(hint) if one not in (type(None), Ellipsis)]
        hint = inner[0] if inner else None
    return hint


def field_hint(section: str, field: str) -> Any:
    """The type of a field of a job, by its section; None where there is none."""
    record = record_of(section)
    return get_type_hints(record).get(field) if record is not None else None


def choices_of(section: str, field: str) -> tuple[str, ...]:
    """The few words that a field takes; none where it takes more, or is a yes or no."""
    if (section, field) == LEFT_OUT:
        return safety_notes()
    hint = field_hint(section, field)
    kinds: Sequence[Any] = (hint, *get_args(hint))
    return next((tuple(map(str, get_args(one))) for one in kinds if get_origin(one) is Literal), ())


def is_needed(section: str, field: str) -> bool:
    """True of a field without which a section, or an entry of it, says nothing."""
    record = record_of(section)
    own = next((one for one in fields(record) if one.name == field), None) if record is not None else None
    return own is not None and own.default is MISSING and own.default_factory is MISSING


def hint(section: str, field: Field) -> str:
    """What stands beside a field, or below its head: whether an entry can do without it, an example, the comment."""
    return "; ".join(filter(None, (NEEDED if is_needed(section, field.name) else "", explained(field))))


def tables_within(section: str) -> Iterator[Field]:
    """Columns for the tables within an entry of a section, each in one cell, as its trade words them."""
    said = words_of(section).get("columns", {})
    for name, one in sections("job.toml").items():
        whose, _, column = name.partition(".")
        if whose == section and column and one.many:
            shown = takewhile(lambda field: not field.instead, one.fields)
            example = ", ".join(f"{field.name} = {field.value}" for field in shown)
            yield Field(column, f"[{{ {example} }}]", said.get(column, ""), False)


def is_hint(sheet: str, text: str) -> bool:
    """True of what may stand in a sheet's row of explanations: also as an earlier version wrote it, for comments change."""
    if text.startswith((NEEDED, SUCH_AS)):
        return True
    known = [one for name, one in sections("job.toml").items() if name.partition(".")[0] == sheet]
    fields = [*(field for section in known for field in section.fields), NAME, *tables_within(sheet)]
    told = (words for field in fields for words in (explained(field), hint(sheet, field)))
    return bool(_bare(text)) and _bare(text) in map(_bare, told)


def _bare(words: str) -> str:
    return "".join(filter(str.isalnum, words))


def said(sheet: Worksheet, cell: Cell | MergedCell, section: str, field: str, problems: list[Problem]) -> Any:
    """What a cell holds for a field; None where that is nothing, or cannot be read: then a problem is noted."""
    value, where = cell.value, place(sheet, cell)
    if isinstance(value, str):
        value = value.strip()
        if not value:
            return None
        if not value.startswith(AS_TOML):
            return meant(section, field, value)
        try:
            return _exactly(value)
        except (tomllib.TOMLDecodeError, ValueError) as error:
            wanted = "write it as a job file does, or in quotes where it is text"
            problems.append(
                Problem.of("", f"cannot be read: {error}", wanted, "unreadable", reason=error).at(where)
            )
            return None
    if isinstance(value, datetime):
        return value.date()
    if not isinstance(value, bool | int | float | date):
        problems.append(
            Problem.of(
                "", f"found {value}", 'write a time as text, such as "45 min"', "not_a_measure", found=value
            ).at(where)
        )
        return None
    if not isinstance(value, bool | date) and "%" in LITERAL.sub("", str(cell.number_format)):
        return f"{value * 100:.12g} %"
    return meant(section, field, value)


def _exactly(text: str) -> Any:
    """A text as TOML reads it: one value, and nothing behind it."""
    found = tomllib.loads(f"value = [{text}]")["value"]
    if len(found) != 1:
        raise ValueError("more than one value")
    return found[0]


def meant(section: str, field: str, value: Any) -> Any:
    """A plain value of a cell as its field takes it: yes and no, numbers that are text, text that is a number, lists."""
    hint = field_hint(section, field)
    kinds = (hint, *get_args(hint))
    if isinstance(value, str):
        if bool in kinds and value.casefold() in YES_NO:
            return YES_NO[value.casefold()]
        if not {int, float}.isdisjoint(kinds) and NUMBER.fullmatch(value):
            return number_of(value)
        if date in kinds and DAY.fullmatch(value):
            return _day(value)
        if any(get_origin(one) is tuple for one in kinds) and _is_list(section, field):
            return [part.strip() for part in value.split(BETWEEN) if part.strip()]
        return value
    if hint is str and not isinstance(value, bool | date):
        return f"{value:.15g}"
    return int(value) if isinstance(value, float) and value.is_integer() else value


def number_of(text: str) -> float | int:
    """The number that a text writes, as TOML would hold it."""
    return float(text) if "." in text else int(text)


def _day(text: str) -> date | str:
    """A day; the text itself where no calendar has it, so that it is told as any other wrong text."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _is_list(section: str, field: str) -> bool:
    """True of a field that the starter job writes as a list."""
    known = sections("job.toml").get(section)
    return known is not None and any(one.name == field and one.value.startswith("[") for one in known.fields)


def place(sheet: Worksheet, cell: Cell | MergedCell) -> str:
    """Where a cell is, for people."""
    return f"sheet {sheet.title}, cell {cell.coordinate}"
