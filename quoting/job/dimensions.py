"""The dimension of an input by its dotted name: in which units it is shown."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any, get_type_hints

from quoting.declaration import entries, is_by_trade
from quoting.reading.fields import dimension_of
from quoting.reading.part import Part
from quoting.trades.registry import sections
from quoting.values import Uncertain, key

if TYPE_CHECKING:
    from quoting.job.brief import Brief


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
