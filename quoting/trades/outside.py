"""Trades that other packages bring: found by their entry points, and looked through before any price may rest on them."""

import re
from collections.abc import Iterator, Mapping
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

OF_TEXTS = (*TEXTS, "headings", "titles", "columns", "fields")
"""Tables of words.toml that hold texts by name."""
OF_ROWS: Mapping[str, Mapping[str, type]] = {
    "page": {"words": str},
    "questions": {"said": str, "fields": list},
    "also_called": {"where": list, "word": str, "means": str},
    "term": {"term": str, "means": str},
}
"""Tables of words.toml that hold rows, and what is read of each."""


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
    """Words that are not as they are read, and cautions without words."""
    own = trade.words()
    yield from (
        f"{table} of its words.toml cannot be read"
        for table, said in own.items()
        if not _readable(table, said)
    )
    for name in trade.cautions:
        if name not in own.get("caution", {}) and not any(name in one.cautions for one in house.values()):
            yield f"its caution {name} has no words"


def _readable(table: str, said: Any) -> bool:
    """True for texts by name, and for rows that have what is read of each; a page or a question may stand alone or under its name."""
    if table in OF_TEXTS:
        return isinstance(said, dict) and all(isinstance(one, str) for one in said.values())
    needed = OF_ROWS.get(table)
    if needed is None or not isinstance(said, dict | list):
        return False
    rows = said if isinstance(said, list) else [said] if set(needed) <= set(said) else said.values()
    return all(
        isinstance(row, dict) and all(isinstance(row.get(name), kind) for name, kind in needed.items())
        for row in rows
    )
