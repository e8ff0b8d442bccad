"""The dimension of an input by its dotted name: in which units it is shown."""

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any, NamedTuple, get_type_hints

from quoting.declaration import entries, is_by_trade
from quoting.job.brief import Brief
from quoting.job.starters import with_defaults
from quoting.measures import measure, shown
from quoting.reading.fields import dimension_of
from quoting.reading.part import Part
from quoting.trades.registry import sections
from quoting.values import Uncertain, key

UNIT = re.compile(r"[A-Za-z%'\"]\S*|(?<=\s)/\S+")
"""The first unit of a measure: of "2 h 30 min" it is "h"."""


def shop_path(name: str) -> tuple[str, ...]:
    """The steps of a dotted name in the shop file: section, the name of its table where it has one, and field. A table's name may
    hold dots of its own.
    """
    section, _, rest = name.partition(".")
    middle, _, field = rest.rpartition(".")
    return (section, middle, field) if middle else (section, field)


def as_written(brief: Brief, name: str) -> str:
    """A standard by the name that the shop file writes: the spelling of its species or ply, where it holds them."""
    section, *middle, field = shop_path(name)
    tables = dict(entries(brief.shop)).get(section, {})
    if not middle or not isinstance(tables, dict):
        return name
    spelled = next((own for own in tables if key(own) == key(middle[0])), middle[0])
    return f"{section}.{spelled}.{field}"


def dimension_at(brief: Brief, name: str) -> str:
    """The dimension of an input of a job or its shop, such as "length" or "share"; "" for a name that neither has."""
    words = name.split(".")
    return _below(brief.job, words, "") or _below(brief.shop, list(shop_path(name)), "")


def shops_own(brief: Brief, name: str) -> bool:
    """True for an input that stands in the shop file, or among its starter values."""
    words = name.split(".")
    return not _below(brief.job, words, "") and bool(_below(brief.shop, list(shop_path(name)), ""))


def standard_of(brief: Brief, name: str) -> Uncertain | None:
    """A standard of the shop file by its name; where a table of a family leaves it out, that of its usual section."""
    found: Any = dict(entries(brief.shop))
    words = shop_path(name)
    for word in words:
        found = found.get(word) if isinstance(found, dict) else getattr(found, word, None)
    usual = sections()[words[0]][1].usual if words[0] in sections() else ""
    if found is None and usual:
        found = getattr(brief.shop.sections[usual], words[-1], None)
    return found if isinstance(found, Uncertain) else None


def dimension_of_standard(brief: Brief, name: str) -> str:
    """The dimension of a standard of the shop file, also of one that it does not hold yet."""
    section, _, last = name.partition(".")[0], *name.rpartition(".")[1:]
    trade, of = sections().get(section, (None, None))
    if trade is not None and of is not None and of.family:
        return dimension_of(get_type_hints(trade.named(of.record), include_extras=True).get(last))
    return _below(brief.shop, list(shop_path(name)), "")


def _below(record: Any, words: list[str], dimension: str) -> str:
    if not words:
        return dimension
    word, rest = words[0], words[1:]
    if isinstance(record, dict):
        return _below(record[word], rest, dimension) if word in record else ""
    if isinstance(record, tuple):
        ids = [one.id if isinstance(one, Part) else str(i) for i, one in enumerate(record, start=1)]
        return _below(record[ids.index(word)], rest, dimension) if word in ids else ""
    if not is_dataclass(record) or isinstance(record, type):
        return ""
    own: dict[str, Any] = next((getattr(record, one.name) for one in fields(record) if is_by_trade(one)), {})
    if word in own:
        return _below(own[word], rest, "")
    hints = get_type_hints(type(record), include_extras=True)
    field = next((one for one in (word, f"{word}_") if one in hints), "")
    return _below(getattr(record, field), rest, dimension_of(hints[field])) if field else ""


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

    tables = (word if word.isidentifier() else tomlkit.key(word).as_string() for word in path[:-1])
    header = ".".join(tables)
    row = f"{path[-1]} = {tomlkit.string(value).as_string()}"
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if line.split("#")[0].strip() == f"[{header}]"]
    if not starts:
        return f"{text.rstrip()}\n\n[{header}]\n{row}\n"
    end = next((i for i in range(starts[0] + 1, len(lines)) if lines[i].lstrip().startswith("[")), len(lines))
    filled = [i for i in range(starts[0], end) if lines[i].strip() and not lines[i].lstrip().startswith("#")]
    lines.insert(filled[-1] + 1, row)
    return "\n".join(lines) + "\n"
