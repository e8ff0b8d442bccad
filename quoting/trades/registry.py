"""Which trades there are: those of the house in the order they are printed, then those that installed packages bring."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from importlib import import_module
from importlib.metadata import EntryPoint
from types import MappingProxyType
from typing import Any, NamedTuple, ParamSpec, TypeVar, cast

from quoting.declaration import Fact, Group, Section, Trade
from quoting.errors import Problem, Problems

P = ParamSpec("P")
R = TypeVar("R")

PRINTED = (
    "hardwood", "sheet", "laminate", "casting", "coating", "finish", "glass", "metal", "upholstery", "buy", "outwork",
    "work", "machine", "setback",
)  # fmt: skip
"""The folders of the house's trades, in printed order."""

ENTRY_POINTS = "quoting.trades"
"""The group of entry points under which a package declares a trade of its own: its name = "package:TRADE"."""

HOUSE = "quoting"
NAME = re.compile(r"[a-z][a-z_]*")

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


class Missing(NamedTuple):
    """A trade that a maker may name and that cannot be reckoned: what is found, and what mends it."""

    found: str
    write: str


@derived
def trades() -> Mapping[str, Trade]:
    """Every trade by its name. Raises Problems where packages bring two of one name, or two sections or groups of one name."""
    good, _ = _installed()
    return MappingProxyType({one.name: one for one in (*_of_house(), *good, *_stand_ins.values())})


def missing(name: str) -> Missing | None:
    """Why a trade cannot be reckoned though a package brings it, or brought it once; None where nothing is known of it."""
    _, bad = _installed()
    if name in bad:
        return bad[name]
    if name in _stand_ins:
        package = _stand_ins[name].outside
        return Missing(f"found a trade of {package}, which is not installed any more", f"install {package}")
    return None


@cache
def _of_house() -> tuple[Trade, ...]:
    return tuple(import_module(f"quoting.trades.{name}").TRADE for name in PRINTED)


@derived
def _installed() -> tuple[tuple[Trade, ...], Mapping[str, Missing]]:
    """Trades of other packages in the order of their names, and by name those that cannot be read: such a package must not stop jobs
    that do without it.
    """
    from importlib.metadata import entry_points

    good: dict[str, Trade] = {}
    bad: dict[str, Missing] = {}
    for point in sorted(entry_points(group=ENTRY_POINTS), key=lambda one: (one.name, one.value)):
        package = f"{point.dist.name} {point.dist.version}" if point.dist is not None else point.value
        try:
            trade = _read(point, package)
        except Exception as error:  # whatever a stranger's code may raise
            said = " ".join(str(error).split())
            words = f"found a trade of {package} that cannot be read: {type(error).__name__}: {said}"
            bad[point.name] = Missing(words, f"mend {package}, or take it off")
        else:
            _refuse_twice(trade, [*_of_house(), *good.values()])
            good[trade.name] = trade
    return tuple(good.values()), MappingProxyType(bad)


def _read(point: EntryPoint, package: str) -> Trade:
    """The trade that an entry point names, with all that it names in turn: what is missing shows here and not amid a price."""
    trade = point.load()
    if not isinstance(trade, Trade):
        raise TypeError(f"{point.value} is no Trade")
    if trade.name != point.name:
        raise ValueError(f"it is called {trade.name} by its package and {point.name} by its entry point")
    if not NAME.fullmatch(trade.name):
        raise ValueError(f'"{trade.name}" is no word of small letters')
    for what in trade.code:
        trade.named(what)
    return replace(trade, outside=package, always=False)


def _refuse_twice(trade: Trade, others: Iterable[Trade]) -> None:
    """Two of one name would have to be told apart by chance: of which package a price is must never be a question."""
    wrong = [
        Problem(trade.name, f"found {what} from {other.outside or HOUSE} and from {trade.outside}", "take one of the two packages off")
        for other in others
        for what in _shared(trade, other)
    ]  # fmt: skip
    if wrong:
        raise Problems(wrong)


def _shared(one: Trade, other: Trade) -> Iterator[str]:
    """Names that two trades claim both."""
    if one.name == other.name:
        yield "a trade of this name"
        return
    for what in ("section", "group"):
        mine, theirs = ({each.name for each in getattr(trade, f"{what}s")} for trade in (one, other))
        for name in sorted(mine & theirs):
            yield f'a {what} "{name}"'


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
    """Sections of the shop file that trades declare, with the trade that does."""
    return MappingProxyType(
        {section.name: (trade, section) for trade in trades().values() for section in trade.sections}
    )
