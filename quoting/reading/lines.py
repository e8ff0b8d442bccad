"""The lines on which values of a TOML text stand."""

from collections.abc import Sequence
from typing import Any, NamedTuple

MARK = "a value that no maker writes: 5f1d0c-"


class _Place(NamedTuple):
    """The mark that stands for a path in a document, and whether the header above it is meant."""

    mark: str
    header: bool


def line_of(text: str, path: Sequence[str | int]) -> int:
    """The line of one path; see `lines_of`."""
    return lines_of(text, [path])[0]


def lines_of(text: str, paths: Sequence[Sequence[str | int]]) -> list[int]:
    """The lines of values, or of the nearest tables above them that exist.

    tomlkit writes a document back byte for byte, so a mark put in the place of a value, with as many
    line breaks as the value had, shows up on the line where the value stood. One pass serves all.
    """
    if not paths:
        return []
    import tomlkit

    document = tomlkit.parse(text)
    places = [_marked(document, list(path), f"{MARK}{number};") for number, path in enumerate(paths)]
    lines = tomlkit.dumps(document).splitlines()
    found = {place.mark: 1 for place in places if place}
    for number, line in enumerate(lines, start=1):
        if MARK in line:
            found |= {mark: number for mark in found if mark in line}
    return [_line(found[place.mark], place.header, lines) if place else 1 for place in places]


def _line(number: int, header: bool, lines: list[str]) -> int:
    """The line itself, or that of the table header above it."""
    while header and number > 1 and not lines[number - 1].lstrip().startswith("["):
        number -= 1
    return number


def _marked(document: Any, keys: list[str | int], mark: str) -> _Place | None:
    """Put the mark at the path, or at the nearest place above it; None where that is the whole file."""
    while keys:
        node = document
        try:
            for step in keys[:-1]:
                node = node[step]
            value = node[keys[-1]]
        except (KeyError, IndexError, TypeError):
            keys.pop()
            continue
        return _marked_value(node, keys[-1], value, mark, header=False)
    return None


def _marked_value(node: Any, key: str | int, value: Any, mark: str, header: bool) -> _Place:
    """Mark a value, with as many line breaks as it had; a table or a list of tables within it."""
    import tomlkit

    if isinstance(value, str) and value.startswith(MARK):
        return _Place(value.strip(), header)
    if isinstance(value, list) and value and isinstance(value[0], dict):
        value = value[0]
    if isinstance(value, dict):
        return _marked_table(value, mark)
    breaks = value.as_string().count("\n") if hasattr(value, "as_string") else 0
    node[key] = tomlkit.string(mark + "\n" * breaks, multiline=True) if breaks else mark
    return _Place(mark, header)


def _marked_table(table: Any, mark: str) -> _Place:
    """Mark a table by its first value, or by a new one where it is empty."""
    from tomlkit.items import InlineTable

    header = not isinstance(table, InlineTable)
    first = next(iter(table), None)
    if first is None:
        table["mark"] = mark
        return _Place(mark, header)
    return _marked_value(table, first, table[first], mark, header)
