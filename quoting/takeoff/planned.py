"""Needs of stock: one for each kind that a part is cut from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from quoting.values import Basis

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.reading.yields import Yield
    from quoting.takeoff.record import Need
    from quoting.values import Num


def stock_needs(
    need: Need, net: Num, finished: float, measure: str, yields: Sequence[Yield]
) -> tuple[Need, ...]:
    """A need of every kind of stock for `net` of a part, of which `finished` is in the piece; both in the measure of `measure`.

    `need` says what all of them have in common. Its words go on with those of the yield.
    """
    taken = net * sum((one.amounts[measure] for one in yields), start=np.float64(0))
    return tuple(_need(replace(need, kept=finished / taken), net, one) for one in yields)


def _need(need: Need, net: Num, one: Yield) -> Need:
    words = Basis(f"{need.basis.words} {one.words.words}", {**need.basis.numbers, **one.words.numbers})
    amounts = {name: net * each for name, each in one.amounts.items()}
    need = replace(need, amounts=amounts, basis=words, ordered=one.ordered)
    if not one.kind:
        return need
    return replace(
        need,
        id=f"{need.id.rpartition('.')[0]}.{one.kind}",
        price=net * one.price if one.price is not None else None,
        supplied="rack" if one.kind == "rack" else need.supplied,
        source="cut plan",
        supplier=one.supplier,
        lead_days=one.lead_days,
    )
