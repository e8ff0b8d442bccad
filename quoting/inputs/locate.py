"""Where a value stands in a TOML file: the line of a path of keys and positions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

MARK = "a value that no maker writes: 5f1d0c"


def line_of(text: str, path: Sequence[str | int]) -> int:
    """The line of the value at `path`, or of the nearest table above it that exists.

    tomlkit writes a document back byte for byte, so a mark put in place of the value shows up on
    the line where the value stood.
    """
    import tomlkit

    keys = list(path)
    while keys:
        document: Any = tomlkit.parse(text)
        node = document
        try:
            for step in keys[:-1]:
                node = node[step]
            value = node[keys[-1]]
        except (KeyError, IndexError, TypeError):
            keys.pop()
            continue
        if isinstance(value, dict) and value:
            first = next(iter(value))
            value[first] = MARK
            return max(1, _line(document) - (0 if isinstance(value, tomlkit.items.InlineTable) else 1))
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return line_of(text, [*keys, 0])
        node[keys[-1]] = MARK
        return _line(document)
    return 1


def _line(document: Any) -> int:
    import tomlkit

    for number, line in enumerate(tomlkit.dumps(document).splitlines(), start=1):
        if MARK in line:
            return number
    return 1
