"""A shop file with some of its ranges replaced: comments, order and layout stay as the maker wrote them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.inputs.shipped import with_defaults
from quoting.measures import measure, shown

if TYPE_CHECKING:
    from collections.abc import Mapping

UNIT = re.compile(r"[^\d\s.,/½¼¾+-].*$")


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
    for word in name.split("."):
        found = found.get(word) if isinstance(found, dict) else None
    text = found.get("value") if isinstance(found, dict) else found
    return str(text) if isinstance(text, str | int | float) else ""


def patched(text: str, values: Mapping[str, str]) -> str:
    """The text of a shop file with values put in, by dotted name; tables that it lacks are added at its end."""
    import tomlkit

    document: Any = tomlkit.parse(text)
    for name, value in values.items():
        *path, last = name.split(".")
        table = document
        for word in path:
            if word not in table:
                table[word] = tomlkit.table(is_super_table=word != path[-1])
            table = table[word]
        old = table.get(last)
        if isinstance(old, dict):  # { value = "...", cause = "..." } keeps its cause
            old["value"] = value
        else:
            table[last] = value
    return str(tomlkit.dumps(document))
