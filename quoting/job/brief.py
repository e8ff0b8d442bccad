"""The brief: everything a price rests on, checked, with every part, input and cause named, and problems placed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from quoting.advice import Advice
from quoting.by_trade import entries, is_by_trade
from quoting.errors import Path as InFile
from quoting.errors import Problem
from quoting.job.form import form
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import Price, StockRow
from quoting.job.validate import raw_id
from quoting.reading.fields import Part
from quoting.reading.lines import lines_of
from quoting.reading.sources import Source
from quoting.reading.tables import Tables
from quoting.takeoff.stock import CutPlan
from quoting.trades.registry import sections
from quoting.unread import holes_of, replaced
from quoting.values import Uncertain, key, slug

SOURCE = Advice("settings")
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
            path, rest = path_of(words, raw)
            if not rest:
                found: Any = raw
                for step in path:
                    found = found[step]
                return f"fitted to {len(found)} strips" if isinstance(found, list) else text_of(found)
        return ""

    def place(self, field: str) -> tuple[str, InFile]:
        """The file that a field stands in, and its path there; of a price, `prices.<item>`, its first row in the price file."""
        section, _, item = field.partition(".")
        if section == "prices" and (rows := self.book.get(key(item))):
            return self.sources[2].name, (rows[0].position,)
        source, path, rest = place_of(field, self.sources, self.option)
        return source.name, (*path, *rest)

    def placed(self, problems: Sequence[Problem]) -> list[Problem]:
        """Problems with the file and line of their fields, where that can be told."""
        return placed(problems, self.sources, self.changed, self.option)


def text_of(value: Any) -> str:
    """The text of an input as a file writes it, alone or with its cause; "" for anything else."""
    text = value.get("value") if isinstance(value, dict) else value
    return str(text) if isinstance(text, str | int | float) else ""


def path_of(words: Sequence[str], raw: Any) -> tuple[InFile, list[str]]:
    """The path of keys and positions that a dotted name stands for, as far as it leads, and the words that are left of it. A key may
    hold dots of its own.
    """
    path: InFile = ()
    rest = list(words)
    while rest:
        if isinstance(raw, list):
            steps = {
                raw_id(words[0], part) or f"{words[0]}-{i}": i - 1
                for i, part in reversed([*enumerate(raw, 1)])
            }
            if rest[0] in steps:
                step: str | int = steps[rest[0]]
            elif rest[0].isdigit() and 0 < int(rest[0]) <= len(raw):
                step = int(rest[0]) - 1
            else:
                break
            taken = 1
        else:
            keys = (n for n in range(len(rest), 0, -1) if isinstance(raw, dict) and ".".join(rest[:n]) in raw)
            if not (taken := next(keys, 0)):
                break
            step = ".".join(rest[:taken])
        path, raw, rest = (*path, step), raw[step], rest[taken:]
    return path, rest


def placed(
    problems: Sequence[Problem], sources: Sequence[Source], changed: frozenset[str], option: str = ""
) -> list[Problem]:
    """Problems with their places: values that were tried, else job or shop file with the line.

    A field that is in neither file stands in the one whose section it belongs to.
    """
    result: list[Problem] = list(problems)
    found = {i: place_of(one.field, sources, option) for i, one in enumerate(result) if not one.file}
    for source in sources[:2]:
        mine = {i: (path, rest) for i, (home, path, rest) in found.items() if home is source}
        lines = lines_of(source.text, [path for path, _ in mine.values()])
        for (i, (path, rest)), line in zip(mine.items(), lines, strict=True):
            result[i] = source.placed(result[i], line if path else 0, (*path, *rest))
    return [one.at(SOURCE) if any(_same(one.field, name) for name in changed) else one for one in result]


def place_of(field: str, sources: Sequence[Source], option: str = "") -> tuple[Source, InFile, list[str]]:
    """The file that a field stands in, its path there as far as it is written, and what is left of its name."""
    job, shop = sources[:2]
    words = field.split(".")
    optional = of_option(words, job.raw, option)
    if optional is not None:
        return job, *optional
    path, rest = path_of(words, job.raw)
    in_job = words[0] in job.raw or words[0] not in {one.name for one in fields(form(Shop))}
    if in_job and (len(words) < 2 or len(path) > 1 or not _stands(words[0], words[1], shop)):
        return job, path, rest
    return shop, *path_of(words, shop.raw)


def of_option(words: Sequence[str], raw: Any, option: str) -> tuple[InFile, list[str]] | None:
    """Where an option adds a part or sets a field, and what is left of the name; None where it does not. Options are whole tables: one
    is chosen by its name.
    """
    i = option_at(raw, option) if option else None
    if i is None:
        return None
    one = raw["option"][i]
    for j, entry in enumerate(one.get("add", ())):
        if [entry.get("trade"), raw_id(words[0], entry)] == list(words[:2]):
            inside, rest = path_of(words[2:], entry)
            return ("option", i, "add", j, *inside), rest
    for name in one.get("set", ()):
        if f"{'.'.join(words)}.".startswith(f"{name}."):
            return ("option", i, "set", name), list(words[name.count(".") + 1 :])
    return None


def option_at(raw: Any, option: str) -> int | None:
    """The position of an option in a job file."""
    called = (raw_id("option", one) == slug(option) for one in raw.get("option", ()))
    return next((i for i, one in enumerate(called) if one), None)


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
                problems.append(
                    Problem.of(f"{trade}.{name}", "found this name twice", wanted, "twice", name=name)
                )
            seen[name] = position
            parts.append(replaced(part, id=name))
        named[trade] = tuple(parts)
    return replaced(job, parts=named), problems


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
        steps = [(name.rstrip("_"), value) for name, value in entries(record, holes_of(record))]
    else:
        return []
    return [found for step, value in steps for found in cause_names(value, (*path, step))]
