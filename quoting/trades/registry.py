"""Which trades there are: those of the house in the order they are printed, then those that installed packages bring."""

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from importlib import import_module
from types import MappingProxyType
from typing import Any, ParamSpec, TypeVar, cast

from quoting.declaration import Fact, Group, Section, Trade
from quoting.trades.outside import Missing, Outside, from_outside

P = ParamSpec("P")
R = TypeVar("R")

PRINTED = (
    "hardwood", "sheet", "laminate", "casting", "coating", "finish", "glass", "metal", "upholstery", "buy", "outwork",
    "work", "machine", "setback",
)  # fmt: skip
"""The folders of the house's trades, in printed order."""

_derived: list[Any] = []
_stand_ins: dict[str, Trade] = {}


def derived(function: Callable[P, R]) -> Callable[P, R]:
    """Remembers what follows from which trades there are, until that changes: see `forget`."""
    remembered = cache(function)
    _derived.append(remembered)
    return cast("Callable[P, R]", remembered)


def forget() -> None:
    """Reckon everything anew that was derived from which trades there are."""
    for one in _derived:
        one.cache_clear()


def stand_in(gone: Iterable[Trade]) -> None:
    """Let trades that no package brings any more be known by what is given in their place; those that are there stay."""
    fresh = {one.name: one for one in gone if one.name not in trades()}
    if fresh:
        _stand_ins.update(fresh)
        forget()


@derived
def trades() -> Mapping[str, Trade]:
    """Every trade by its name."""
    return MappingProxyType(
        {one.name: one for one in (*_of_house().values(), *_outside().good, *_stand_ins.values())}
    )


def missing(name: str) -> Missing | None:
    """Why a trade, or a section of the shop file that only it reads, cannot be reckoned though a package brings it, or brought it once;
    None where nothing is known of it.
    """
    if name in unusable() and name not in _of_house():
        return unusable()[name]
    for one in _stand_ins.values():
        if name in (one.name, *(section.name for section in one.sections)):
            return Missing(
                f"found a trade of {one.outside}, which is not installed any more", f"install {one.outside}"
            )
    return None


def unusable() -> Mapping[str, Missing]:
    """Trades that a package brings and that cannot be used, by name."""
    return _outside().bad


@cache
def _of_house() -> Mapping[str, Trade]:
    return MappingProxyType({name: import_module(f"quoting.trades.{name}").TRADE for name in PRINTED})


@derived
def _outside() -> Outside:
    return from_outside(_of_house())


def chain_of(name: str) -> str:
    """The chain of steps that parts of a trade stand in; "" for none, and for what is no trade."""
    trade = trades().get(name)
    return trade.chain if trade is not None else ""


@derived
def groups() -> Mapping[str, Group]:
    """Groups of cost that trades declare, in printed order."""
    return MappingProxyType({group.name: group for trade in trades().values() for group in trade.groups})


@derived
def facts() -> Mapping[str, Fact]:
    """Quantities that jobs add up, in printed order; several trades may add to one."""
    return MappingProxyType({fact.name: fact for trade in trades().values() for fact in trade.facts})


@derived
def sections() -> Mapping[str, tuple[Trade, Section[Any]]]:
    """Sections of the shop file that trades declare, with the trade that does; none of trades that are gone."""
    return MappingProxyType(
        {one.name: (trade, one) for trade in trades().values() if trade.record for one in trade.sections}
    )
