"""The brief: everything a price rests on, checked, with every input named and placed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quoting.inputs.job import TRADES
from quoting.inputs.locate import line_of
from quoting.inputs.naming import raw_id
from quoting.inputs.shipped import with_defaults

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from quoting.errors import Problem
    from quoting.inputs.job import Job
    from quoting.inputs.prices import Price
    from quoting.inputs.shop import Shop
    from quoting.inputs.sources import Source
    from quoting.inputs.tables import Tables


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything a price rests on, checked, with every input named."""

    job: Job
    shop: Shop
    book: Mapping[str, tuple[Price, ...]]
    tables: Tables
    folder: Path
    sources: tuple[Source, ...]

    @property
    def part_count(self) -> int:
        """Entries of all trades in the job."""
        return sum(len(getattr(self.job, trade)) for trade in TRADES)

    def written(self, name: str) -> str:
        """The text of an input as it stands in the job file, the shop file, or among the starter values."""
        job, shop, _ = self.sources
        words = name.split(".")
        for raw in (job.raw, with_defaults(shop.raw)):
            if len(path := path_of(words, raw)) == len(words):
                found: Any = raw
                for step in path:
                    found = found[step]
                text = found.get("value") if isinstance(found, dict) else found
                return str(text) if isinstance(text, str | int | float) else ""
        return ""

    def place(self, problem: Problem) -> Problem:
        """A problem found later, with the file and line of its field where that can be told."""
        job, shop, _ = self.sources
        for source in (job, shop):
            path = path_of(problem.field.split("."), source.raw)
            if path:
                return problem.at(source.name, line_of(source.text, path))
        return problem.at(job.name, 0)


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
