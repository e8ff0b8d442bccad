"""Names: every part gets an id, every uncertain input its dotted path, every cause its factor."""

from dataclasses import fields, is_dataclass, replace
from typing import Any

from quoting.declaration import entries, is_by_trade
from quoting.errors import Problem
from quoting.job.job import Job
from quoting.reading.part import Part
from quoting.trades.registry import trades
from quoting.values import Uncertain, slug


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
                wanted = f'write another id, such as id = "{name}-2"'
                problems.append(Problem(f"{trade}.{name}", "found this name twice", wanted))
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
