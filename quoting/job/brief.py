"""The brief: everything a price rests on, checked, with every input named and placed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from quoting.errors import Problem
from quoting.job.form import form
from quoting.job.job import Job
from quoting.job.naming import raw_id
from quoting.job.prices import Price
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import StockRow
from quoting.reading.locate import lines_of
from quoting.reading.sources import Source
from quoting.reading.tables import Tables
from quoting.takeoff.stock import CutPlan
from quoting.trades.registry import sections

SOURCE = "--set"
"""What stands in the place of a file name for values that were tried without touching one."""


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything a price rests on, checked, with every input named.

    `sources`: job file, shop file, price book, then the tallies that the job names. `plans` are the cut plans of its `stock`.
    """

    job: Job
    shop: Shop
    book: Mapping[str, tuple[Price, ...]]
    tables: Tables
    folder: Path
    sources: tuple[Source, ...]
    changed: frozenset[str] = frozenset()
    stock: tuple[StockRow, ...] = ()
    plans: tuple[CutPlan, ...] = ()

    def written(self, name: str) -> str:
        """The text of an input as it stands in the job file, the shop file, or among the starter values."""
        job, shop = self.sources[:2]
        words = name.split(".")
        for raw in (job.raw, with_defaults(shop.raw)):
            if len(path := path_of(words, raw)) == len(words):
                found: Any = raw
                for step in path:
                    found = found[step]
                if isinstance(found, list):
                    return f"fitted to {len(found)} strips"
                text = found.get("value") if isinstance(found, dict) else found
                return str(text) if isinstance(text, str | int | float) else ""
        return ""

    def placed(self, problems: Sequence[Problem]) -> list[Problem]:
        """Problems with the file and line of their fields, where that can be told."""
        return placed(problems, self.sources, self.changed)


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
    problems: Sequence[Problem], sources: tuple[Source, ...], changed: frozenset[str]
) -> list[Problem]:
    """Problems with their places: what was changed by --set, else job or shop file with the line.

    A field that is in neither file stands in the one whose section it belongs to.
    """
    job, shop = sources[:2]
    result: list[Problem] = list(problems)
    for source in (job, shop):
        mine = [
            (i, path_of(problem.field.split("."), source.raw))
            for i, problem in enumerate(result)
            if not problem.file and _belongs(problem.field, source, job, shop)
        ]
        lines = lines_of(source.text, [path for _, path in mine])
        for (i, path), line in zip(mine, lines, strict=True):
            result[i] = source.placed(result[i], line if path else 0)
    return [
        problem.at(SOURCE, 0) if any(_same(problem.field, name) for name in changed) else problem
        for problem in result
    ]


def _belongs(field: str, source: Source, job: Source, shop: Source) -> bool:
    """True where a field is looked for in a file. Of a section that both may have, what stands in the shop's is no part of the job."""
    words = field.split(".")
    in_job = words[0] in job.raw or words[0] not in {one.name for one in fields(form(Shop))}
    if in_job and len(words) > 1 and len(path_of(words, job.raw)) < 2:
        in_job = not _stands(words[0], words[1], shop)
    return in_job if source is job else True


def _stands(section: str, name: str, shop: Source) -> bool:
    """True for a field of a trade's section of the shop file, or a table of its family."""
    trade, of = sections().get(section, (None, None))
    if trade is None or of is None:
        return False
    return name in (
        shop.raw.get(section, ()) if of.family else [one.name for one in fields(trade.named(of.record))]
    )


def _same(field: str, name: str) -> bool:
    """True where one of two dotted names is the other, or lies below it."""
    return f"{field}.".startswith(f"{name}.") or f"{name}.".startswith(f"{field}.")
