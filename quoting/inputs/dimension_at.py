"""The dimension of an input by its dotted name: in which units it is shown."""

from __future__ import annotations

from dataclasses import is_dataclass
from typing import TYPE_CHECKING, Any, get_type_hints

from quoting.inputs.fields import dimension_of
from quoting.inputs.part import Part
from quoting.inputs.standards import OwnPly, OwnSpecies
from quoting.values import Uncertain, key

if TYPE_CHECKING:
    from quoting.inputs.brief import Brief


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
    tables = getattr(brief.shop, section, {})
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
    """A standard of the shop file by its name; the waste of a species is that of all timber where it has none of its own."""
    found: Any = brief.shop
    for word in shop_path(name):
        found = found.get(word) if isinstance(found, dict) else getattr(found, word, None)
    if found is None and name.startswith("species.") and name.endswith(".waste"):
        found = brief.shop.timber.waste
    return found if isinstance(found, Uncertain) else None


def dimension_of_standard(brief: Brief, name: str) -> str:
    """The dimension of a standard of the shop file, also of one that it does not hold yet."""
    section, _, last = name.partition(".")[0], *name.rpartition(".")[1:]
    kinds = {"species": OwnSpecies, "ply": OwnPly}
    if section in kinds:
        return dimension_of(get_type_hints(kinds[section], include_extras=True)[last])
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
    hints = get_type_hints(type(record), include_extras=True)
    if word == "trial":
        return "length"
    field = next((one for one in (word, f"{word}_") if one in hints), "")
    found = "time" if word == "standard" else dimension_of(hints[field]) if field else ""
    return _below(getattr(record, field), rest, found) if field else ""
