"""The starter files, put together from a frame and the rows of every trade; and what holds where a shop file is silent."""

from __future__ import annotations

import re
from copy import deepcopy
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from quoting.reading.starters import in_force, merged, sections_of
from quoting.trades import registry
from quoting.trades.registry import derived, trades

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.job.job import Job
    from quoting.reading.starters import Section

OF_THE_HOUSE = ("machine", "cause", "resin", "supplier", "fee", "sundries")
"""Sections of no trade whose tables a maker names."""

OTHERS = "*"
PLACE = re.compile(r"^\{([a-z_]+|\*)/([a-z]+\.toml)\}\n(\n?)", re.MULTILINE)
"""A line of a frame: whose rows stand here, and the file of the trade's folder that holds them. "*" is for all that have no place of
their own, in printed order.
"""


@derived
def starter_text(file: str, without: frozenset[str] = frozenset()) -> str:
    """A starter file with the rows of all trades, but for those that are left out."""
    frame = files("quoting").joinpath("reference", "frames", file).read_text(encoding="utf-8")
    placed = {(whose, name) for whose, name, _ in PLACE.findall(frame)}

    def rows(place: re.Match[str]) -> str:
        whose, name, blank = place.groups()
        here = (whose,) if whose != OTHERS else (one for one in trades() if (one, name) not in placed)
        found = [text for one in here if one not in without and (text := trades()[one].text(name))]
        return "\n".join(found) + blank if found else ""

    return PLACE.sub(rows, frame)


@derived
def sections(file: str) -> dict[str, Section]:
    """The sections of a starter file by name, in their order; a field once, as it stands first."""
    return sections_of(starter_text(file))


def named_families() -> tuple[str, ...]:
    """Sections whose tables a maker names: the starter shop shows examples, none of them is in force."""
    of_trades = (name for name, (_, section) in registry.sections().items() if section.family)
    return (*OF_THE_HOUSE, *of_trades)


@derived
def _defaults(without: frozenset[str] = frozenset()) -> dict[str, Any]:
    return in_force(starter_text("shop.toml", without))


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
