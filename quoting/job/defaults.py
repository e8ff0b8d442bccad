"""What holds where a shop file is silent: the starter shop, and what trades of other packages give beside it."""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from typing import TYPE_CHECKING, Any

from quoting.reading.starters import NAMED_FAMILIES, merged, shipped
from quoting.trades.registry import derived, trades

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.job.job import Job

FRAGMENTS = {"shop.toml": ("shop.toml", "standard.toml"), "job.toml": ("job.toml",)}
"""Files in the folder of a trade that go into each starter file."""


@derived
def starter_text(file: str, without: frozenset[str] = frozenset()) -> str:
    """A starter file with the rows of all trades, but for those from outside that are left out."""
    own = shipped("templates").joinpath(file).read_text(encoding="utf-8")
    outside = (one for name, one in trades().items() if one.outside and name not in without)
    return "\n".join([own, *(one.text(name) for one in outside for name in FRAGMENTS[file])])


@derived
def named_families() -> tuple[str, ...]:
    """Sections whose tables a maker names: the starter shop shows examples, none of them is in force."""
    outside = (section for one in trades().values() if one.outside for section in one.sections)
    return (*NAMED_FAMILIES, *(one.name for one in outside if one.family))


@derived
def _defaults(without: frozenset[str] = frozenset()) -> dict[str, Any]:
    """The commented keys of the starter shop file under their headers."""
    text = starter_text("shop.toml", without)
    kept = [line for line in text.splitlines() if re.match(r"#[a-z\[\"]|\[", line)]
    return tomllib.loads(re.sub(r"^#", "", "\n".join(kept), flags=re.MULTILINE))


def with_defaults(shop: dict[str, Any]) -> dict[str, Any]:
    """A shop file with everything it leaves out filled from the starter shop."""
    defaults = deepcopy(_defaults())  # whoever changes the tables it gets changes no other shop
    for family in named_families():
        own = shop.get(family)
        kept = own if isinstance(own, dict) else {}
        defaults[family] = {name: rows for name, rows in defaults.get(family, {}).items() if name in kept}
    pay = shop.get("pay")
    if not isinstance(pay, dict) or "owner" not in pay:
        defaults["pay"] = {}
    return merged(defaults, shop)


def untold(job: Job) -> frozenset[str]:
    """Trades that a job has no part of, and that are not told always."""
    return frozenset(name for name, one in trades().items() if not one.always and name not in job.parts)


def starter_values(shop: dict[str, Any], job: Job) -> dict[str, int]:
    """How many values of each section a shop file leaves to the starter shop, but for those of untold trades."""
    counts = {}
    for section, defaults in _defaults(untold(job)).items():
        if isinstance(defaults, dict) and section not in named_families():
            missing = set(_leaves(defaults)) - set(_leaves(shop.get(section, {})))
            if missing:
                counts[section] = len(missing)
    return counts


def _leaves(table: Any, path: str = "") -> Iterator[str]:
    if isinstance(table, dict):
        for name, value in table.items():
            yield from _leaves(value, f"{path}.{name}")
    else:
        yield path
