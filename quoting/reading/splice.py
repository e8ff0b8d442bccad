"""One value, field or part of a TOML text changed with every other sign alike: no re-writer. `tomllib` proves each edit."""

import copy
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator
from datetime import date, time
from typing import Any

from quoting.errors import Reading
from quoting.reading.scan import BOM, At, Entry, Scan, Shown, scan

Raw = dict[str, Any]

BARE = re.compile(r"[A-Za-z0-9_-]+")
NOT_ALONE, BY_HAND = "found it written in a way that cannot be changed alone", "change it in an editor"


def tables_of(text: str) -> Raw:
    """The raw tables of a text."""
    return tomllib.loads(text.removeprefix(BOM))


def proven(text: str, candidates: Iterable[str], change: Callable[[Raw], None]) -> str:
    """The first of some texts that says what `change` makes of the raw tables, and nothing else. Raises Reading where none does."""
    wanted = tables_of(text)
    try:
        change(wanted)
    except (TypeError, LookupError, AttributeError):  # below a value, or in an entry that is not there
        raise Reading(
            "found nothing there that could hold it", "name a field of a table", "no_place"
        ) from None
    for candidate in candidates:
        try:
            if same(tables_of(candidate), wanted):
                return candidate
        except (ValueError, RecursionError):  # a place that does not take it
            continue
    raise Reading(NOT_ALONE, BY_HAND, "cannot_change")


def same(one: Any, other: Any) -> bool:
    """True of values that a file cannot tell apart: also of one kind, so that 1, 1.0 and true are three."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[name], other[name]) for name in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return repr(one) == repr(other)


def within(raw: Any, path: At) -> Any:
    """What stands at a path of raw tables. Raises KeyError or IndexError."""
    for step in path:
        raw = raw[step]
    return raw


def has(raw: Any, path: At) -> bool:
    """True where something stands at a path of raw tables."""
    try:
        within(raw, path)
    except (LookupError, TypeError):
        return False
    return True


def with_value(text: str, path: At, value: str) -> str:
    """A text with a value, as TOML writes it, at a path: in its place; else on the line that shows the field; else below the last field
    of its table, or in a new table. Raises Reading where that cannot be proven.
    """
    meant = tomllib.loads(f"value = {value}")["value"]

    def change(raw: Raw) -> None:
        for step in path[:-1]:
            raw = raw.setdefault(step, {}) if isinstance(step, str) else raw[step]  # type: ignore[index]
        raw[path[-1]] = copy.deepcopy(meant)  # type: ignore[index]

    found = scan(text)
    if path in found.values:
        start, end = found.values[path]
        return proven(text, [text[:start] + value + text[end:]], change)
    if has(tables_of(text), path):
        raise Reading("found a table of its own", "change its fields one by one", "not_a_field")
    return proven(text, _with_field(found, path, value), change)


def _with_field(found: Scan, path: At, value: str) -> Iterator[str]:
    """Texts with a field that is not there, the best place first."""
    table = path
    while table := table[:-1]:
        if found.header(table) is not None or table in found.values:
            break
    if table == path[:-1] and table not in found.values:
        yield from (_taken(found, one, value) for one in found.shown(*found.body(table), str(path[-1])))
    dotted = [one for one in found.entries if one.path[:-1] == path[:-1] != one.table]
    if dotted:
        yield _below(found, dotted[-1], path, value)
    if table in found.values:
        yield _in_braces(found, table, path, value)
    elif table or len(path) == 1:
        yield _in_body(found, table, path, value)
    else:
        yield from _with_table(found, path, value)


def _taken(found: Scan, line: Shown, value: str) -> str:
    """The line that shows a field, in force."""
    text = found.text
    return text[: line.sign] + text[line.key : line.value] + value + text[line.end :]


def _below(found: Scan, entry: Entry, path: At, value: str) -> str:
    """A field on the line below another of the same header."""
    if entry.inline:
        return _in_braces(found, entry.table, path, value)
    start, end = found.line(entry.key)[0], found.line(entry.end)[1]
    indent = found.text[start : entry.key]
    return inserted(found, end, f"{indent}{written_key(path[len(entry.table) :])} = {value}")


def _in_body(found: Scan, table: At, path: At, value: str) -> str:
    """A field below the last one of a header; below the header itself where it has none."""
    if entries := found.fields(table):
        return _below(found, entries[-1], path, value)
    at = found.body(table)[0]
    return inserted(found, at, f"{written_key(path[len(table) :])} = {value}")


def _in_braces(found: Scan, table: At, path: At, value: str) -> str:
    """A field behind the last one of a table between braces."""
    start, end = found.values[table]
    row = f"{written_key(path[len(table) :])} = {value}"
    last = [one.end for one in found.entries if one.table == table and one.inline]
    if last:
        return found.text[: last[-1]] + f", {row}" + found.text[last[-1] :]
    return found.text[:start] + f"{{ {row} }}" + found.text[end:]


def _with_table(found: Scan, path: At, value: str) -> Iterator[str]:
    """A field in a table that is not there: under its header where the file shows it, else at the end."""
    table, text = path[:-1], found.text
    for at in (one for one in found.comments if found.shown_header(one) == table):
        sign = text.index("#", at)
        if text[sign + 1 :].lstrip(" \t")[:2] == "[[":
            continue
        opened = text[:sign] + text[sign + 1 :].lstrip(" \t")
        yield from _with_field(scan(opened), path, value)
    lines = (f"[{written_key(table)}]", f"{written_key(path[-1:])} = {value}")
    yield inserted(found, len(text), line_end(found, len(text)).join(lines), above=True)


def inserted(found: Scan, at: int, lines: str, above: bool = False, below: bool = False) -> str:
    """A text with lines put in where a line begins, an empty one `above` or `below` them; where the last line of a file has no end,
    neither has a new one behind it.
    """
    text, end = found.text, line_end(found, at)
    lines += end * below
    if at > found.first and text[at - 1] != "\n":
        return text + end + end * above + lines
    return text[:at] + end * (above and at > found.first) + lines + end + text[at:]


def line_end(found: Scan, at: int) -> str:
    """How the line above a place ends, or the first one of the file."""
    before = found.text.rfind("\n", 0, at)
    at = before if before >= 0 else found.text.find("\n")
    return "\r\n" if found.text[max(at - 1, 0) : at + 1] == "\r\n" else "\n"


def without(text: str, path: At) -> str:
    """A text without a field: without its line and the comment at its end. Raises Reading where that cannot be proven."""
    found = scan(text)
    entry = next((one for one in found.entries if one.path == path), None)
    if entry is None:
        raise Reading("found no such field on a line of its own", BY_HAND, "cannot_change")

    def change(raw: Raw) -> None:
        kept = path
        del within(raw, kept[:-1])[kept[-1]]
        while (kept := kept[:-1]) != entry.table and not within(
            raw, kept
        ):  # was there by its dotted keys alone
            del within(raw, kept[:-1])[kept[-1]]

    if not entry.inline:
        start, end = found.line(entry.key)[0], found.line(entry.end)[1]
        return proven(text, [text[:start] + text[end:]], change)
    row = [one for one in found.entries if one.table == entry.table and one.inline]
    place = row.index(entry)
    if place:
        gone = row[place - 1].end, entry.end
    else:
        gone = entry.key, row[1].key if len(row) > 1 else entry.end
    return proven(text, [text[: gone[0]] + text[gone[1] :]], change)


def written_key(path: At) -> str:
    """A dotted key as TOML writes it."""
    return ".".join(toml_key(str(one)) for one in path)


def toml_key(name: str) -> str:
    """A key as TOML writes it."""
    return name if BARE.fullmatch(name) else toml_value(name)


def toml_value(value: Any) -> str:
    """A value as TOML writes it, on one line. Raises TypeError for what TOML has no way to write."""
    import tomlkit

    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return str(tomlkit.string(value).as_string())
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, dict):
        inner = ", ".join(f"{toml_key(name)} = {toml_value(one)}" for name, one in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(toml_value, value))}]"
    if isinstance(value, int | float):
        return repr(value)
    raise TypeError(f"{value!r} cannot stand in a job file")
