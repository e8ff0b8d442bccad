"""A shop file with some of its ranges replaced: comments, order and layout stay as the maker wrote them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.job.defaults import with_defaults
from quoting.job.dimensions import shop_path
from quoting.measures import measure, shown

if TYPE_CHECKING:
    from collections.abc import Mapping

UNIT = re.compile(r"[A-Za-z%'\"]\S*|(?<=\s)/\S+")
"""The first unit of a measure: of "2 h 30 min" it is "h"."""


class Unit(NamedTuple):
    """A unit as it is written, and its size in the canonical unit."""

    name: str
    size: float

    def text(self, *values: float) -> str:
        """Values in this unit, three digits that count: a range where they differ."""
        numbers = [f"{float(f'{value / self.size:.3g}'):.10g}" for value in values]
        kept = numbers[:1] if len(set(numbers)) == 1 else numbers
        return f"{' .. '.join(kept)} {self.name}".strip()


def unit_like(text: str, dimension: str, value: float, system: str) -> Unit:
    """The unit that a range is written in; where nothing is written, the one in which the shop shows a value."""
    shape = text.rpartition("..")[2] or shown(value, dimension or "number", system)
    found = UNIT.search(shape.strip())
    name = found.group() if found else ""
    return Unit(name, measure(f"1 {name}", dimension) if name else 1.0)


def written_in(shop: dict[str, Any], name: str) -> str:
    """The text of a standard in a shop file or among the starter values; "" where neither holds it."""
    found: Any = with_defaults(shop)
    for word in shop_path(name):
        found = found.get(word) if isinstance(found, dict) else None
    text = found.get("value") if isinstance(found, dict) else found
    return str(text) if isinstance(text, str | int | float) else ""


def patched(text: str, values: Mapping[str, str]) -> str:
    """The text of a shop file with values put in, by dotted name: in place, below the last field of their table, or in tables of
    their own at its end.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    new: list[tuple[tuple[str, ...], str]] = []
    for name, value in values.items():
        *tables, field = path = shop_path(name)
        table = document
        for word in tables:
            table = table.get(word) if isinstance(table, dict) else None
        if table is None or (field not in table and not isinstance(table, tomlkit.items.InlineTable)):
            new.append((path, value))
        elif isinstance(table.get(field), dict):  # { value = "...", cause = "..." } keeps its cause
            table[field]["value"] = value
        else:
            table[field] = value
    done = str(tomlkit.dumps(document))
    for path, value in new:
        done = _added(done, path, value)
    return done


def _added(text: str, path: tuple[str, ...], value: str) -> str:
    """A field that a file lacks: below the last field under its header, else under a header of its own at the end."""
    import tomlkit

    header = ".".join(
        tomlkit.key(word).as_string() if not word.isidentifier() else word for word in path[:-1]
    )
    row = f"{path[-1]} = {tomlkit.string(value).as_string()}"
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if line.split("#")[0].strip() == f"[{header}]"]
    if not starts:
        return f"{text.rstrip()}\n\n[{header}]\n{row}\n"
    end = next((i for i in range(starts[0] + 1, len(lines)) if lines[i].lstrip().startswith("[")), len(lines))
    filled = [i for i in range(starts[0], end) if lines[i].strip() and not lines[i].lstrip().startswith("#")]
    lines.insert(filled[-1] + 1, row)
    return "\n".join(lines) + "\n"
