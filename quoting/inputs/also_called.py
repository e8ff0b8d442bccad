"""Names that makers give to sections and fields, and what those are called here."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from quoting.errors import nearest
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Sequence


def nearest_key(name: str, known: Sequence[str]) -> str:
    """Advice for a name that does not exist: what is meant by it here, else the nearest one, else a few."""
    meant = next(
        (one for word, one in _others() if word == key(name.replace("_", " ")) and one in known), None
    )
    return f'write "{meant}"' if meant else nearest(name, known)


@cache
def _others() -> tuple[tuple[str, str], ...]:
    """Words with what they may mean, in the order in which meanings are tried."""
    text = files("quoting").joinpath("reference", "also_called.csv").read_text(encoding="utf-8")
    return tuple((row["word"], row["means"]) for row in csv.DictReader(text.splitlines()))
