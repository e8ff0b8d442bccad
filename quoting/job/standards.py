"""Inputs and standards by their dotted names: what a name stands for, and values put into the text of a shop file."""

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, get_type_hints

from quoting.by_trade import entries, is_by_trade
from quoting.job.brief import Brief, steps_of, text_of
from quoting.job.form import dimension_of
from quoting.job.starters import with_defaults
from quoting.trades.registry import sections
from quoting.values import Uncertain, key


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
    return next(filter(None, _dimensions(brief, name)), "")


def shops_own(brief: Brief, name: str) -> bool:
    """True for an input that stands in the shop file, or among its starter values."""
    in_job, in_shop = _dimensions(brief, name)
    return bool(in_shop and not in_job)


def _dimensions(brief: Brief, name: str) -> tuple[str, str]:
    """The dimension that a name has in the job, and in the shop file."""
    return _below(brief.job, name.split("."), ""), _below(brief.shop, list(shop_path(name)), "")


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
    section, *_, last = shop_path(name)
    trade, of = sections().get(section, (None, None))
    if trade is not None and of is not None and of.family:
        return dimension_of(get_type_hints(trade.named(of.record), include_extras=True).get(last))
    return _dimensions(brief, name)[1]


def _below(record: Any, words: list[str], dimension: str) -> str:
    if not words:
        return dimension
    word, rest = words[0], words[1:]
    if isinstance(record, dict):
        return _below(record[word], rest, dimension) if word in record else ""
    if isinstance(record, tuple):
        ids = steps_of(record)
        return _below(record[ids.index(word)], rest, dimension) if word in ids else ""
    if not is_dataclass(record) or isinstance(record, type):
        return ""
    own: dict[str, Any] = next((getattr(record, one.name) for one in fields(record) if is_by_trade(one)), {})
    if word in own:
        return _below(own[word], rest, "")
    hints = get_type_hints(type(record), include_extras=True)
    field = next((one for one in (word, f"{word}_") if one in hints), "")
    return _below(getattr(record, field), rest, dimension_of(hints[field])) if field else ""


def written_in(shop: dict[str, Any], name: str) -> str:
    """The text of a standard in a shop file or among the starter values; "" where neither holds it."""
    return text_of(_within(with_defaults(shop), shop_path(name)))


def _within(table: Any, words: Iterable[str]) -> Any:
    """What stands in a table of tables; None where there is nothing of those names."""
    for word in words:
        table = table.get(word) if isinstance(table, dict) else None
    return table


def patched(text: str, values: Mapping[str, str]) -> str:
    """The text of a shop file with values put in, by dotted name: in place, below the last field of their table, or in tables of
    their own at its end.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    new: list[tuple[tuple[str, ...], str]] = []
    for name, value in values.items():
        *tables, field = path = shop_path(name)
        table = _within(document, tables)
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

    header = ".".join(one if one.isidentifier() else tomlkit.key(one).as_string() for one in path[:-1])
    row = f"{path[-1]} = {tomlkit.string(value).as_string()}"
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if line.split("#")[0].strip() == f"[{header}]"]
    if not starts:
        return f"{text.rstrip()}\n\n[{header}]\n{row}\n"
    end = next((i for i in range(starts[0] + 1, len(lines)) if lines[i].lstrip().startswith("[")), len(lines))
    filled = [i for i in range(starts[0], end) if lines[i].strip() and not lines[i].lstrip().startswith("#")]
    lines.insert(filled[-1] + 1, row)
    return "\n".join(lines) + "\n"
