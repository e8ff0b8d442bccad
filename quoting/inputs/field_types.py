"""Types of the fields of a job, for forms that are filled in: their records, the few values that some of them take."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin, get_type_hints

from quoting.inputs.job import Job

if TYPE_CHECKING:
    from collections.abc import Sequence


def record_of(section: str) -> Any:
    """The record of a section of a job, or of its entries; None where there is none."""
    hint = get_type_hints(Job).get(section)
    while hint is not None and not hasattr(hint, "__dataclass_fields__"):
        inner = [one for one in get_args(hint) if one not in (type(None), Ellipsis)]
        hint = inner[0] if inner else None
    return hint


def field_hint(section: str, field: str) -> Any:
    """The type of a field of a job, by its section; None where there is none."""
    record = record_of(section)
    return get_type_hints(record).get(field) if record is not None else None


def choices_of(section: str, field: str) -> tuple[str, ...]:
    """The few words that a field takes; none where it takes more, or is a yes or no."""
    hint = field_hint(section, field)
    kinds: Sequence[Any] = (hint, *get_args(hint))
    return next((tuple(map(str, get_args(one))) for one in kinds if get_origin(one) is Literal), ())


def is_needed(section: str, field: str) -> bool:
    """True of a field without which a section, or an entry of it, says nothing."""
    record = record_of(section)
    own = next((one for one in fields(record) if one.name == field), None) if record is not None else None
    return own is not None and own.default is MISSING and own.default_factory is MISSING
