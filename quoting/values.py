"""The plain values every layer speaks: a number, an uncertain input, a basis in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Num: TypeAlias = "float | NDArray[np.float64]"
"""A number of the model: one value for a plan, an array of shape (draws,) for a run of draws."""


@dataclass(frozen=True, slots=True)
class Uncertain:
    """An input as the maker states it: three values in one canonical unit.

    `low` and `high` are bounds of the value, not good and bad outcomes. `name` is its dotted path
    and the key of its stream of draws. `coin` inputs are either 0 or 1; `likely` is the chance of 1.
    `cause` multiplies the value by a factor that other inputs may share.
    """

    low: float
    likely: float
    high: float
    name: str = ""
    coin: bool = False
    cause: Uncertain | None = None

    @property
    def least(self) -> float:
        """The lowest value a run may read, cause included."""
        return self.low * (self.cause.low if self.cause else 1.0)

    @property
    def most(self) -> float:
        """The highest value a run may read, cause included."""
        return self.high * (self.cause.high if self.cause else 1.0)


Pick: TypeAlias = "Callable[[Uncertain], Num]"
"""How a run reads an uncertain input: the only thing that differs between runs."""


StockKind = Literal["board", "sheet", "bar"]
"""What stock comes as."""

YieldKind = Literal["", "yard", "rack"]
"""At the price of the price file; at a price of its own; from the maker's rack."""

INCH_M = 0.0254
BOARD_FOOT_M3 = 144 * INCH_M**3
SQUARE_FOOT_M2 = (12 * INCH_M) ** 2
LITRE_M3 = 0.001
"""Exact by definition (NIST SP 811)."""


def rough_text(thickness_m: float) -> str:
    """A rough thickness as makers write it: quarters where it is a whole number of them."""
    quarters = thickness_m / (INCH_M / 4)
    whole = round(quarters)
    return f"{whole}/4" if abs(quarters - whole) < 1e-6 else f"{thickness_m * 1000:g} mm"


def certain(value: float, name: str = "") -> Uncertain:
    """An input without a range."""
    return Uncertain(value, value, value, name)


class Basis(NamedTuple):
    """How a quantity was reached: a sentence with slots, and the numbers that fill them.

    Slots are `{name:kind}`; `kind` names a dimension of `measures` and so the unit it is shown in.
    Numbers stay canonical until a document is written, so a run of draws costs no formatting.
    """

    words: str
    numbers: Mapping[str, object]


class Yield(NamedTuple):
    """Stock of one kind for one of what is needed, in every dimension that it may be priced in, and how that is known.

    Take-off is told no more: whether it was a waste or a cut plan makes no difference to it. `price` is money for one of what is
    needed, where stock has a price of its own; it comes from `supplier` within `lead_days`. `ordered` is what must be bought for one of
    what is charged: more than one where a job is charged a part of its boards.
    """

    amounts: Mapping[str, Num]
    words: Basis
    kind: YieldKind = ""
    price: float | None = None
    ordered: float = 1.0
    supplier: str = ""
    lead_days: float = 0.0


def basis(words: str, /, **numbers: object) -> Basis:
    """A basis from its sentence and numbers."""
    return Basis(words, numbers)


def key(name: str) -> str:
    """A name as it is compared: case and spacing do not matter."""
    return " ".join(name.casefold().split())


def slug(text: str) -> str:
    """A name as part of a path: lower case, letters and digits, hyphens between."""
    letters = "".join(c if c.isalnum() else " " for c in text.casefold())
    return "-".join(letters.split())


def round_step(span: float, parts: int) -> float:
    """A round number (1, 2, 2.5 or 5 times a power of ten) that cuts a span into about so many parts, never more."""
    wide = span / parts
    if wide <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(wide))
    return next(round_to for round_to in (1, 2, 2.5, 5, 10) if round_to * power >= wide * (1 - 1e-9)) * power
