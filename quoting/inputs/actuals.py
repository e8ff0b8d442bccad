"""Record of an actuals file: what is known of a finished piece that was never logged, in round totals."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from quoting.inputs.fields import STRICT, Day, Distance, Format, Hours, Money, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """A trip: how far in all, and the hours of all who went."""

    __pydantic_config__: ClassVar = STRICT
    distance: Distance
    hours: Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """A setback that happened."""

    __pydantic_config__: ClassVar = STRICT
    what: Word
    hours: Hours | None = None
    cost: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Actuals:
    """Totals of a finished piece. What is left out is not recorded, which is not nothing."""

    __pydantic_config__: ClassVar = STRICT
    format: Format
    finished: Day | None = None
    price: Money | None = None
    hours: dict[Word, Hours] = field(default_factory=dict)
    receipts: dict[Word, Money] = field(default_factory=dict)
    trips: tuple[Trip, ...] = ()
    setbacks: tuple[Lost, ...] = ()
