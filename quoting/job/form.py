"""What a maker may write in a file: the fields of its record, and beside them the sections that trades declare."""

from collections.abc import Iterable
from dataclasses import MISSING, Field, field, fields, make_dataclass
from types import GenericAlias
from typing import Any, get_type_hints

from quoting.declaration import head, made
from quoting.errors import Problem, Problems
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.reading.fields import Strict, Word
from quoting.trades.registry import derived, sections, trades


@derived
def form(kind: type) -> type:
    """The record of a whole file, for reading and for advice: of a job or a shop with the sections of all trades, else the record itself."""
    own = {Job: _of_parts, Shop: _of_sections}.get(kind)
    if own is None:
        return kind
    hints = get_type_hints(kind, include_extras=True)
    there = [(one.name, hints[one.name], _like(one)) for one in head(kind)]
    declared = own()
    _refuse_taken({name for name, _, _ in there}, [name for name, _, _ in declared])
    names = [*there, *declared]
    return make_dataclass(kind.__name__, names, bases=(Strict,), frozen=True, slots=True, kw_only=True)


def _like(one: Field[Any]) -> Any:
    if one.default_factory is not MISSING:
        return field(default_factory=one.default_factory)
    return field() if one.default is MISSING else field(default=one.default)


def _refuse_taken(own: set[str], declared: Iterable[str]) -> None:
    """A trade from outside may not call itself, or a section of the shop file, as the house calls one."""
    wrong = [
        Problem(name, f"found a section of this name from {one.outside}", "take the package off")
        for name in declared
        for one in trades().values()
        if name in own and name in (one.name, *(section.name for section in one.sections))
    ]
    if wrong:
        raise Problems(wrong)


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


def gathered(kind: type, written: Any) -> Any:
    """The record of what was read in its form."""
    if form(kind) is kind:
        return written
    return made(kind, {one.name: getattr(written, one.name) for one in fields(written)})
