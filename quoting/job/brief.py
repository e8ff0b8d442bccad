"""The brief: everything a price rests on, checked, with every part, input and cause named, and problems placed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from quoting.by_trade import entries, is_by_trade
from quoting.errors import Problem
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import Price, StockRow
from quoting.job.validate import form, raw_id
from quoting.reading.fields import Part
from quoting.reading.sources import Source, lines_of
from quoting.reading.tables import Tables
from quoting.takeoff.stock import CutPlan
from quoting.trades.registry import sections
from quoting.values import Uncertain, slug

SOURCE = "--set"
"""What stands in the place of a file name for values that were tried without touching one."""


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything a price rests on, checked, with every input named.

    `sources`: job file, shop file, price file, then the tallies that the job names. `plans` are the cut plans of its `stock`;
    `read_as` are the raw tables of job and shop, with the values that were set and the option that was chosen in them.
    """

    job: Job
    shop: Shop
    book: Mapping[str, tuple[Price, ...]]
    tables: Tables
    folder: Path
    sources: tuple[Source, ...]
    read_as: tuple[dict[str, Any], dict[str, Any]]
    changed: frozenset[str] = frozenset()
    stock: tuple[StockRow, ...] = ()
    plans: tuple[CutPlan, ...] = ()
    option: str = ""

    def written(self, name: str) -> str:
        """The text of an input as it was set or chosen, else as it stands in the job file, the shop file, or among the starter values."""
        job, shop = self.read_as
        words = name.split(".")
        for raw in (job, with_defaults(shop)):
            if len(path := path_of(words, raw)) == len(words):
                found: Any = raw
                for step in path:
                    found = found[step]
                return f"fitted to {len(found)} strips" if isinstance(found, list) else text_of(found)
        return ""

    def placed(self, problems: Sequence[Problem]) -> list[Problem]:
        """Problems with the file and line of their fields, where that can be told."""
        return placed(problems, self.sources, self.changed, self.option)


def text_of(value: Any) -> str:
    """The text of an input as a file writes it, alone or with its cause; "" for anything else."""
    text = value.get("value") if isinstance(value, dict) else value
    return str(text) if isinstance(text, str | int | float) else ""


def path_of(words: Sequence[str], raw: Any) -> list[str | int]:
    """The path of keys and positions that a dotted name stands for; empty where nothing fits."""
    path: list[str | int] = []
    for word in words:
        if isinstance(raw, list):
            ids = [raw_id(words[0], part) for part in raw]
            if word in ids:
                position = ids.index(word)
            elif word.isdigit() and 0 < int(word) <= len(raw):
                position = int(word) - 1
            else:
                return path
            path.append(position)
            raw = raw[position]
        elif isinstance(raw, dict) and word in raw:
            path.append(word)
            raw = raw[word]
        else:
            return path
    return path


def placed(
    problems: Sequence[Problem], sources: tuple[Source, ...], changed: frozenset[str], option: str = ""
) -> list[Problem]:
    """Problems with their places: what was changed by --set, else job or shop file with the line.

    A field that is in neither file stands in the one whose section it belongs to.
    """
    job, shop = sources[:2]
    result: list[Problem] = list(problems)
    for source in (job, shop):
        mine = [
            (i, _path_in(one.field.split("."), source, option))
            for i, one in enumerate(result)
            if not one.file and _belongs(one.field, source, job, shop, option)
        ]
        lines = lines_of(source.text, [path for _, path in mine])
        for (i, path), line in zip(mine, lines, strict=True):
            result[i] = source.placed(result[i], line if path else 0)
    return [one.at(SOURCE, 0) if any(_same(one.field, name) for name in changed) else one for one in result]


def _belongs(field: str, source: Source, job: Source, shop: Source, option: str) -> bool:
    """True where a field is looked for in a file. Of a section that both may have, what stands in the shop's is no part of the job."""
    words = field.split(".")
    in_job = words[0] in job.raw or words[0] not in {one.name for one in fields(form(Shop))}
    in_job = in_job or bool(_added(words, job.raw, option))
    if in_job and len(words) > 1 and len(_path_in(words, job, option)) < 2:
        in_job = not _stands(words[0], words[1], shop)
    return in_job if source is job else True


def _path_in(words: Sequence[str], source: Source, option: str) -> list[str | int]:
    """The path of a dotted name in a file; of a part that the option adds, its place there."""
    return _added(words, source.raw, option) or path_of(words, source.raw)


def _added(words: Sequence[str], raw: Any, option: str) -> list[str | int]:
    """Where the option adds a part; empty where it does not. Options are whole tables: one is chosen by its name."""
    for i, one in enumerate(raw.get("option", ()) if option else ()):
        for j, entry in enumerate(one.get("add", ()) if slug(one.get("name", "")) == slug(option) else ()):
            if [entry.get("trade"), raw_id(words[0], entry)] == list(words[:2]):
                return ["option", i, "add", j]
    return []


def _stands(section: str, name: str, shop: Source) -> bool:
    """True for what the shop file says in a section, and for fields of a trade's section of it."""
    said = shop.raw.get(section)
    if isinstance(said, dict) and name in said:
        return True
    trade, of = sections().get(section, (None, None))
    if trade is None or of is None:
        return False
    own = shop.raw.get(section, ()) if of.family else [one.name for one in fields(trade.named(of.record))]
    return name in own


def _same(field: str, name: str) -> bool:
    """True where one of two dotted names is the other, or lies below it."""
    return f"{field}.".startswith(f"{name}.") or f"{name}.".startswith(f"{field}.")


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
        return {name: with_names(one, f"{path}.{name}".strip("."), causes) for name, one in record.items()}
    if isinstance(record, tuple) and hasattr(record, "_fields"):
        return type(record)(*(with_names(value, path, causes) for value in record))
    if isinstance(record, tuple):
        steps = zip(steps_of(record), record, strict=True)
        return tuple(with_names(value, f"{path}.{step}", causes) for step, value in steps)
    if not is_dataclass(record) or isinstance(record, type):
        return record
    changed = {}
    for field in fields(record):
        below = path if is_by_trade(field) else f"{path}.{field.name.rstrip('_')}".strip(".")
        changed[field.name] = with_names(getattr(record, field.name), below, causes)
    return replace(record, **changed)


def steps_of(entries: Sequence[Any]) -> list[str]:
    """What dotted names call the entries of a list: parts by their ids, others by their positions, from 1 on."""
    return [one.id if isinstance(one, Part) else str(i) for i, one in enumerate(entries, start=1)]


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
