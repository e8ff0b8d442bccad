"""What must be had for one of what is needed: by a waste, by a yield, or by a cut plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quoting.values import Basis, Num

Kind = Literal["", "yard", "rack"]
"""At the price of the price book; at a price of its own; from the maker's rack."""


class Yield(NamedTuple):
    """Stock of one kind for one of what is needed, in every dimension that it may be priced in, and how that is known.

    Take-off is told no more: whether it was a waste or a cut plan makes no difference to it. `price` is money for one of what is
    needed, where stock has a price of its own; it comes from `supplier` within `lead_days`. `ordered` is what must be bought for one of
    what is charged: more than one where a job is charged a part of its boards.
    """

    amounts: Mapping[str, Num]
    words: Basis
    kind: Kind = ""
    price: float | None = None
    ordered: float = 1.0
    supplier: str = ""
    lead_days: float = 0.0
