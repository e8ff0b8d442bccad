"""Names that makers give to sections and fields, and what those are called here."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from quoting.errors import nearest
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

JOB = "job"
"""Where the names of sections stand."""


def nearest_key(where: str, name: str, known: Sequence[str], there: Container[str] = ()) -> str:
    """Advice for a name that does not exist in a section, or among them (JOB): what is meant by it, else the nearest of those known,
    else a few. What is `there` already is not advised again.
    """
    meant = also_called(where, name)
    if meant is None or meant not in known:
        return nearest(name, known)
    return f'leave it out: "{meant}" is there' if meant in there else f'write "{meant}"'


def also_called(where: str, name: str) -> str | None:
    """What a word means in a section, or among the sections (JOB); None for one that has no other meaning."""
    return _others().get((where, key(name.replace("_", " "))))


@cache
def _others() -> dict[tuple[str, str], str]:
    """What is meant, by section and word."""
    text = files("quoting").joinpath("reference", "also_called.csv").read_text(encoding="utf-8")
    return {
        (where, row["word"]): row["means"]
        for row in csv.DictReader(text.splitlines())
        for where in row["where"].split()
    }
