"""Which trades there are: those of the house in the order they are printed, then those that installed packages bring."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from quoting.declaration import Fact, Group, Section, Trade

PRINTED = (
    "hardwood", "sheet", "laminate", "casting", "coating", "finish", "glass", "metal", "upholstery", "buy", "outwork",
    "work", "machine", "setback",
)  # fmt: skip
"""The folders of the house's trades, in printed order."""

ENTRY_POINTS = "quoting.trades"
"""The group of entry points under which a package declares a trade of its own."""


@cache
def trades() -> Mapping[str, Trade]:
    """Every trade by its name. Raises ValueError where two have one name."""
    found: dict[str, Trade] = {}
    for trade in (*(_of_house(name) for name in PRINTED), *_installed()):
        if found.setdefault(trade.name, trade) is not trade:
            raise ValueError(f"two trades are named {trade.name}")
    return MappingProxyType(found)


def _of_house(name: str) -> Trade:
    trade: Trade = import_module(f"quoting.trades.{name}").TRADE
    return trade


def _installed() -> Iterator[Trade]:
    """Trades from outside, by name; a package that cannot be read must not stop jobs that do without it."""
    from importlib.metadata import entry_points

    for point in sorted(entry_points(group=ENTRY_POINTS), key=lambda one: one.name):
        try:
            yield point.load()
        except Exception as error:
            import warnings

            warnings.warn(f"the trade {point.name} cannot be read: {error}", RuntimeWarning, stacklevel=2)


def trade_of(name: str) -> Trade | None:
    """The trade of a name, or None."""
    return trades().get(name)


@cache
def groups() -> Mapping[str, Group]:
    """Groups of cost that trades declare, in printed order."""
    return MappingProxyType({group.name: group for trade in trades().values() for group in trade.groups})


@cache
def facts() -> Mapping[str, Fact]:
    """Quantities that jobs add up, in printed order; several trades may add to one."""
    return MappingProxyType({fact.name: fact for trade in trades().values() for fact in trade.facts})


@cache
def sections() -> Mapping[str, tuple[Trade, Section[Any]]]:
    """Sections of the shop file that trades declare, with the trade that does."""
    return MappingProxyType(
        {section.name: (trade, section) for trade in trades().values() for section in trade.sections}
    )
