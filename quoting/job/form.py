"""What a maker may write in a file: the form of a job and a shop with the sections of all trades, and what stands at a path of it."""

import types
import typing
from collections.abc import Sequence
from copy import copy
from dataclasses import field, fields, is_dataclass, make_dataclass
from functools import partial
from types import GenericAlias
from typing import Any, get_type_hints

from quoting.by_trade import head
from quoting.errors import Problem, refuse
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.reading.fields import Fitted, Strict, Word
from quoting.trades.registry import derived, sections, trades


@derived
def form(kind: type) -> type:
    """The record of a whole file, for reading and for advice: of a job or a shop with the sections of all trades, else the record itself.
    Raises Problems where a trade of a package takes a name that the house has.
    """
    own = {Job: _of_parts, Shop: _of_sections}.get(kind)
    if own is None:
        return kind
    hints = get_type_hints(kind, include_extras=True)
    there = [(one.name, hints[one.name], copy(one)) for one in head(kind)]
    declared, taken = own(), {name for name, _, _ in there}
    # A trade from outside may not call itself, or a section of the shop file, as the house calls one.
    refuse(
        _taken(name, one.outside)
        for name, _, _ in declared
        for one in trades().values()
        if name in taken and name in (one.name, *(section.name for section in one.sections))
    )
    names = [*there, *declared]
    return make_dataclass(kind.__name__, names, bases=(Strict,), frozen=True, slots=True, kw_only=True)


def _taken(name: str, package: str) -> Problem:
    found = f"found a section of this name from {package}"
    return Problem.of(name, found, "take the package off", "package", package=package)


def _of_parts() -> list[tuple[str, Any, Any]]:
    return [
        (name, GenericAlias(tuple, (trade.named(trade.record), ...)), field(default=()))
        for name, trade in trades().items()
        if trade.record
    ]


def _of_sections() -> list[tuple[str, Any, Any]]:
    found: list[tuple[str, Any, Any]] = []
    for name, (trade, section) in sections().items():
        record = trade.named(section.record)
        kind, usual = (GenericAlias(dict, (Word, record)), dict) if section.family else (record, record)
        found.append((name, kind, field() if section.needed else field(default_factory=usual)))
    return found


def keys_at(root: type, path: Sequence[str | int]) -> list[str]:
    """The field names a maker may write at `path` below the record type `root`."""
    kind = given(hint_at(root, path))
    return [field.name.rstrip("_") for field in fields(kind)] if is_dataclass(kind) else []


def is_at(root: type, path: Sequence[str | int]) -> bool:
    """True where something may be written at `path` below the record type `root`."""
    return hint_at(root, path) is not None


def hint_at(root: type, path: Sequence[str | int]) -> Any:
    """The type of what is written at `path` below the record type `root`, with what reads it; None where nothing may stand there."""
    hint: Any = form(root)
    for step in path:
        hint = _below(hint, step)
    return hint


def _below(hint: Any, step: str | int) -> Any:
    """The type one step down: a field of a record, an entry of a list, a table of a family."""
    hint = given(hint)
    if is_dataclass(hint):
        hints = typing.get_type_hints(hint, include_extras=True)
        return hints.get(str(step), hints.get(f"{step}_"))
    arguments = typing.get_args(hint)
    if typing.get_origin(hint) is tuple:
        return arguments[0]
    return arguments[1] if typing.get_origin(hint) is dict else None


def given(hint: Any) -> Any:
    """A type without its `| None`."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return next(one for one in typing.get_args(hint) if one is not type(None))
    return hint


def dimension_of(hint: Any) -> str:
    """The dimension that a field's type reads, or the values of a table; "" for text, counts and the like."""
    for note in getattr(hint, "__metadata__", ()):
        if isinstance(note, Fitted):
            return note.dimension
        reader = getattr(note, "func", None)
        if isinstance(reader, partial):
            return str(reader.keywords.get("dimension", ""))
    inner = typing.get_args(hint)[-1:] if typing.get_origin(hint) is dict else typing.get_args(hint)
    return next(filter(None, map(dimension_of, inner)), "")
