"""Records with a field by trade: its entries stand beside the other fields of the file, as sections of their own."""

from collections.abc import Collection, Mapping
from dataclasses import Field, fields, is_dataclass
from types import MappingProxyType
from typing import Any

BY_TRADE = MappingProxyType({"by_trade": True})
"""Marks the field of a record whose entries a maker writes as sections of their own, beside its other fields."""


def is_by_trade(one: Field[Any]) -> bool:
    """True for the field that holds what trades declare."""
    return one.metadata == BY_TRADE


def head(kind: type) -> tuple[Field[Any], ...]:
    """The fields that a record has whatever trades there are."""
    return tuple(one for one in fields(kind) if not is_by_trade(one))


def made(kind: type, values: Mapping[str, Any]) -> Any:
    """A record from its entries; what trades declare is gathered by its name, but for no parts at all."""
    places = [one.name for one in fields(kind) if is_by_trade(one)] if is_dataclass(kind) else []
    if not places:
        return kind(**values)
    own = {one.name: values[one.name] for one in head(kind) if one.name in values}
    others = {name: value for name, value in values.items() if name not in own and value != ()}
    return kind(**own, **{places[0]: others})


def entries(record: Any, without: Collection[str] = ()) -> list[tuple[str, Any]]:
    """Names and values of a record as a maker writes them, `without` some fields: what trades declare stands beside its other fields."""
    found: list[tuple[str, Any]] = []
    for one in (one for one in fields(record) if one.name not in without):
        value = getattr(record, one.name)
        found += list(value.items()) if is_by_trade(one) else [(one.name, value)]
    return found
