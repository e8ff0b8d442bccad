"""Names: every part gets an id, every uncertain input its dotted path and cause; and the unit an input is shown in."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, get_type_hints

from quoting.errors import Problem
from quoting.job.form import entries, is_by_trade
from quoting.job.job import Job
from quoting.reading.fields import dimension_of
from quoting.reading.part import Part
from quoting.trades.registry import sections, trades
from quoting.values import Uncertain, key, slug

if TYPE_CHECKING:
    from quoting.job.brief import Brief


def raw_id(trade: str, raw: Any) -> str:
    """The id of an entry that is not validated yet: given, or the slug of what names it; "" if neither."""
    if not isinstance(raw, dict):
        return ""
    one = trades().get(trade)
    given = (raw.get("id"), raw.get(one.named(one.record).naming if one and one.record else "name"))
    return next((slug(name) for name in given if isinstance(name, str) and name), "")


def with_ids(job: Job) -> tuple[Job, list[Problem]]:
    """The job with an id on every part, and the ids that are not unique in their trade."""
    problems: list[Problem] = []
    named: dict[str, tuple[Any, ...]] = {}
    for trade, given in job.parts.items():
        seen: dict[str, int] = {}
        parts = []
        for position, part in enumerate(given):
            name = slug(part.id or getattr(part, part.naming)) or f"{trade}-{position + 1}"
            if name in seen:
                problems.append(
                    Problem(
                        f"{trade}.{name}",
                        "found this name twice",
                        f'write another id, such as id = "{name}-2"',
                    )
                )
            seen[name] = position
            parts.append(replace(part, id=name))
        named[trade] = tuple(parts)
    return replace(job, parts=named), problems


def with_names(record: Any, path: str, causes: dict[str, Uncertain]) -> Any:
    """A copy of a record in which every Uncertain carries its path as name and its cause's factor."""
    if isinstance(record, Uncertain):
        cause = causes.get(record.cause.name) if record.cause else None
        return replace(record, name=path, cause=cause)
    if isinstance(record, dict):
        return {
            name: with_names(value, f"{path}.{name}".strip("."), causes) for name, value in record.items()
        }
    if isinstance(record, tuple) and hasattr(record, "_fields"):
        return type(record)(*(with_names(value, path, causes) for value in record))
    if isinstance(record, tuple):
        return tuple(with_names(value, f"{path}.{_step(value, i)}", causes) for i, value in enumerate(record))
    if not is_dataclass(record) or isinstance(record, type):
        return record
    changed = {
        field.name: with_names(
            getattr(record, field.name),
            path if is_by_trade(field) else f"{path}.{field.name.rstrip('_')}".strip("."),
            causes,
        )
        for field in fields(record)
    }
    return replace(record, **changed)


def _step(value: Any, position: int) -> str:
    return value.id if isinstance(value, Part) else str(position + 1)


def cause_names(record: Any, path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], str]]:
    """Every place that names a cause, with the cause's name."""
    if isinstance(record, Uncertain):
        return [(path, record.cause.name)] if record.cause else []
    if isinstance(record, dict):
        steps: list[tuple[str | int, Any]] = list(record.items())
    elif isinstance(record, tuple):
        steps = list(enumerate(record))
    elif is_dataclass(record) and not isinstance(record, type):
        steps = [(name.rstrip("_"), value) for name, value in entries(record)]
    else:
        return []
    return [found for step, value in steps for found in cause_names(value, (*path, step))]


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
