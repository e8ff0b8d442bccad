"""The dimension of an input by its dotted name: in which units it is shown."""

from __future__ import annotations

from dataclasses import is_dataclass
from typing import TYPE_CHECKING, Any, get_type_hints

from quoting.inputs.fields import dimension_of
from quoting.inputs.part import Part

if TYPE_CHECKING:
    from quoting.inputs.brief import Brief


def dimension_at(brief: Brief, name: str) -> str:
    """The dimension of an input of a job or its shop, such as "length" or "share"; "" for a name that neither has."""
    words = name.split(".")
    return _below(brief.job, words, "") or _below(brief.shop, words, "")


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
