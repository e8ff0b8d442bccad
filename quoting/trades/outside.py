"""Trades that other packages bring: found by their entry points, and looked through before any price may rest on them."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib.metadata import EntryPoint, entry_points
from importlib.resources import files
from typing import Any, NamedTuple, get_type_hints

from quoting.declaration import TEXTS, Trade, in_force

ENTRY_POINTS = "quoting.trades"
"""The group of entry points under which a package declares a trade of its own: its name = "package:TRADE"."""

HOUSE = "quoting"
NAME = re.compile(r"[a-z][a-z_]*")
SHEET = re.compile(r"[^\[\]:*?/\\']{1,31}")
HEAD = re.compile(r"^#?\[\[?([a-z_]+)", re.MULTILINE)
APPLIES_TO = re.compile(r"applies_to = \[(.*)\]")
STARTERS = ("job.toml", "shop.toml", "standard.toml")


class Missing(NamedTuple):
    """A trade that a maker may name and that cannot be reckoned: what is found, and what mends it."""

    found: str
    write: str


class Outside(NamedTuple):
    """Trades from outside in the order of their names, and by name those that cannot be used."""

    good: tuple[Trade, ...]
    bad: Mapping[str, Missing]


def from_outside(house: Mapping[str, Trade]) -> Outside:
    """What installed packages bring. One that cannot be used must not stop jobs that do without it: it is remembered with the reason.

    Of two that have a name in common neither is used: of which package a price is must never be a question.
    """
    good: dict[str, Trade] = {}
    bad: dict[str, Missing] = {}
    for point in sorted(entry_points(group=ENTRY_POINTS), key=lambda one: (one.name, one.value)):
        package = f"{point.dist.name} {point.dist.version}" if point.dist is not None else point.value
        try:
            trade = _read(point, package, house)
        except (Exception, SystemExit) as error:  # whatever a stranger's code may raise
            words = f"found a trade of {package} that cannot be read: {type(error).__name__}: {' '.join(str(error).split())}"
            bad[point.name] = Missing(words, f"mend {package}, or take it off")
            continue
        for other in (*house.values(), *good.values()):
            for what in _shared(trade, other):
                write = "take one of the two packages off" if other.outside else f"take {package} off"
                twice = Missing(f"found {what} from {other.outside or HOUSE} and from {package}", write)
                bad |= dict.fromkeys((trade.name, other.name) if other.outside else (trade.name,), twice)
        good[trade.name] = trade
    return Outside(tuple(one for one in good.values() if one.name not in bad), bad)


def _read(point: EntryPoint, package: str, house: Mapping[str, Trade]) -> Trade:
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
    if wrong := [*_undeclared(trade), *_rows(trade, house), *_words(trade, house)]:
        raise ValueError("; ".join(wrong))
    return replace(trade, outside=package, always=False)


def _shared(one: Trade, other: Trade) -> Iterator[str]:
    """Names that two trades claim both."""
    if one.name == other.name:
        yield "a trade of this name"
        return
    for what in ("section", "group"):
        mine, theirs = ({each.name for each in getattr(trade, f"{what}s")} for trade in (one, other))
        for name in sorted(mine & theirs):
            yield f'a {what} "{name}"'


def _undeclared(trade: Trade) -> Iterator[str]:
    """Fields that one declaration needs beside another, and names that the house keeps for itself."""
    known = get_type_hints(trade.named(trade.record))
    needed = {
        "quantity": trade.alike == "counted",
        "outline": trade.shaped,
        trade.material.removeprefix("field:"): trade.material.startswith("field:"),
        "supplied": bool(trade.material),
    }
    for name in (name for name, is_needed in needed.items() if is_needed and name not in known):
        yield f"its record has no field {name}"
    if trade.alike == "own" and not trade.several:
        yield "it does not say how several are multiplied"
    for record in {trade.record, *(one.record for one in trade.sections)} - {one for _, one in trade.stored}:
        yield f"{record} has no word that it is stored under"
    for name in (trade.name, *(one.name for one in trade.sections)):
        if name in kept_names():
            yield f'"{name}" is a name of the house'
    for group in trade.groups:
        if group.name.split("_")[0] != trade.name.split("_")[0]:
            yield f'its group "{group.name}" is not called by the name of the trade'
        if not SHEET.fullmatch(group.sheet):
            yield f'"{group.sheet}" is no title of a sheet'


@cache
def kept_names() -> frozenset[str]:
    """Sections of the starter files that belong to no trade, and what their standard times are for."""
    texts = [
        files("quoting").joinpath("reference", "frames", one).read_text(encoding="utf-8")
        for one in STARTERS[:2]
    ]
    work = ",".join(found for text in texts for found in APPLIES_TO.findall(text)).replace('"', "")
    return frozenset(
        [*(name for text in texts for name in HEAD.findall(text)), *work.replace(" ", "").split(",")]
    )


def _rows(trade: Trade, house: Mapping[str, Trade]) -> Iterator[str]:
    """Rows of the starter files: they may say nothing that moves the price of a job without the trade."""
    tables = [in_force(trade.text(file)) for file in STARTERS]
    declared = ({trade.name}, {one.name for one in trade.sections}, {"standard"})
    for file, table, known in zip(STARTERS, tables, declared, strict=True):
        for name in {*table} - known:
            yield f"its {file} has a section {name} that it does not declare"
    _, shop, standard = tables
    for one in trade.sections:
        if one.needed and not one.family and one.name not in shop:
            yield f"its shop.toml has no section {one.name}"
    of_house = {
        name for one in house.values() for name in in_force(one.text(STARTERS[2])).get("standard", ())
    }
    for name, operation in standard.get("standard", {}).items():
        if name in of_house:
            yield f"its operation {name} is one of the house"
        if operation.get("applies_to") != [trade.name]:
            yield f"its operation {name} acts on more than its own parts"


def _words(trade: Trade, house: Mapping[str, Trade]) -> Iterator[str]:
    """Words of a kind that no trade of the house has, and cautions without words."""
    own = trade.words()
    yield from _strays(
        "words.toml", own, [*(one.words() for one in house.values()), {name: {"": ""} for name in TEXTS}]
    )
    for name in trade.cautions:
        if name not in own.get("caution", {}) and not any(name in one.cautions for one in house.values()):
            yield f"its caution {name} has no words"


def _strays(path: str, value: Any, usual: Sequence[Any]) -> Iterator[str]:
    """Where a value is of another shape than all that stand in its place in the words of the house's trades."""
    if usual and type(value) not in {type(one) for one in usual}:
        yield f"{path} is no {type(usual[0]).__name__}"
    elif isinstance(value, dict):
        tables = [one for one in usual if isinstance(one, dict)]
        below = [each for one in tables for each in one.values()]
        any_name = len({type(each) for each in below}) == 1 and path != "words.toml"
        for name, one in value.items():
            there = [table[name] for table in tables if name in table] or (below if any_name else [])
            if there:
                yield from _strays(f"{path}: {name}", one, there)
            else:
                yield f"{path}: {name} is no word of a trade"
    elif isinstance(value, list):
        for one in value:
            yield from _strays(path, one, [each for rows in usual for each in rows])
