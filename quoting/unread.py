"""Records with holes: fields that could not be read. What asks for one cannot be judged; all else is, in the same run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar

from quoting.errors import Problems

T = TypeVar("T")


class Unread(Problems):
    """A field that could not be read was asked for. It is told where it was read: nothing is added here."""

    def __init__(self) -> None:
        super().__init__([])


def with_holes(kind: type[T], values: Mapping[str, Any], holes: Iterable[str]) -> T:
    """A record of a kind that raises Unread where one of its `holes` is asked for."""
    names = frozenset(holes)

    def asked(_: Any, name: str) -> Any:
        raise Unread if name in names else AttributeError(name)

    below = type(kind.__name__, (kind,), {"__slots__": (), "__getattr__": asked, "unread": names})
    made: T = object.__new__(below)
    for name, value in values.items():
        object.__setattr__(made, name, value)
    return made


def hollow(record: Any) -> bool:
    """True for a record in which something could not be read, at whatever depth."""
    return hasattr(type(record), "unread")


def holes_of(record: Any) -> frozenset[str]:
    """The fields of a record that could not be read."""
    found: frozenset[str] = getattr(type(record), "unread", frozenset())
    return found


def replaced(record: T, **values: Any) -> T:
    """`dataclasses.replace`, for records with holes too."""
    holes = holes_of(record)
    if not hollow(record):
        return replace(record, **values)  # type: ignore[type-var]
    kept = {one.name: getattr(record, one.name) for one in fields(record) if one.name not in holes}  # type: ignore[arg-type]
    return with_holes(type(record).__mro__[1], {**kept, **values}, holes - set(values))


class Partly(dict[str, Any]):
    """What could be read of a table of names; of a name that is not there, nobody can tell."""

    def __missing__(self, name: str) -> Any:
        raise Unread

    def __contains__(self, name: object) -> bool:
        return super().__contains__(name) or bool(self[str(name)])

    def get(self, name: str, _: Any = None) -> Any:
        """The entry of a name; Unread where there is none."""
        return self[name]


def judged(found: Iterable[T]) -> list[T]:
    """What is found, up to where a field is asked for that could not be read."""
    told: list[T] = []
    try:
        for one in found:
            told.append(one)
    except Unread:
        pass
    return told
