"""Names that the files and prices of older quotes hold, read as what they are called today: a ledger opens for ever."""

import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from quoting.reading.tables import reference_rows


@cache
def _names(column: str) -> Mapping[str, Mapping[str, str]]:
    """What former names are called today, by the record that was frozen or by the section of a file."""
    found: dict[str, dict[str, str]] = {}
    for row in reference_rows("former_names"):
        if row[column]:
            found.setdefault(row[column], {})[row["former"]] = row["now"]
    return found


def file_of_today(text: str) -> str:
    """A job or shop file that was kept with a quote, in the names of today; one that holds no other is the same to the byte."""
    raw = tomllib.loads(text)
    if not _renamed(raw):
        return text
    import tomlkit

    return tomlkit.dumps(raw)


def _renamed(raw: Any) -> bool:
    """Rename in place; whether there was anything to rename."""
    sections = _names("section")
    found = False
    for section, names in sections.items():
        table = raw.get(section)
        if isinstance(table, dict):
            for one in (table, *(one for one in table.values() if isinstance(one, dict))):
                found |= _rename(one, names)
    for option in raw.get("option", ()):
        own = option.get("set", {})
        paths = {path: sections.get(path.partition(".")[0], {}).get(path.rpartition(".")[2]) for path in own}
        now = {path: f"{path.rpartition('.')[0]}.{name}" for path, name in paths.items() if name}
        found |= _rename(own, now)
    return found


def _rename(table: Any, names: Mapping[str, str]) -> bool:
    there = [name for name in names if name in table]
    for name in there:
        table[names[name]] = table.pop(name)
    return bool(there)


def frozen_of_today(value: Any) -> Any:
    """The JSON of a frozen record, its fields in the names of today."""
    if isinstance(value, list):
        return [frozen_of_today(one) for one in value]
    if not isinstance(value, dict):
        return value
    records = _names("record")
    ((kind, inner),) = value.items()
    if not isinstance(inner, dict):
        return {kind: frozen_of_today(inner)}
    names = records.get(kind, {})
    return {kind: {names.get(name, name): _field(name, one, records) for name, one in inner.items()}}


def _field(name: str, value: Any, records: Mapping[str, Mapping[str, str]]) -> Any:
    """A field; one that is a table under a name of its own has rows that were called otherwise."""
    found = frozen_of_today(value)
    if name in records and isinstance(found, dict) and "table" in found:
        return {"table": {records[name].get(row, row): one for row, one in found["table"].items()}}
    return found
