"""What material has cost a piece so far.

- Money without a count is all of a line's cost.
- As long as more may come, what was bought within the plan belongs to the piece, used or not; what is bought beyond lies on the
  shelf until it is used. What is spoiled is replaced: the plan has to be bought once more for it.
- Once a line is behind the piece, what was used is its cost; where nobody logged a use, what was bought.

Quantities are worth what was paid for the item, over all its lines, where money and count are known; else the plan's price.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.costing.lines import MATERIAL_GROUPS
from quoting.money import exact
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from quoting.pricing.record import PricedLine
    from quoting.review.filled import Filled, Sum
    from quoting.review.progress import Progress


def material_costs(
    lines: Iterable[PricedLine], sums: Mapping[str, Sum], progress: Progress, digits: int
) -> dict[str, Decimal]:
    """Cost so far of every line of material [money], by its id."""
    items: dict[str, list[PricedLine]] = defaultdict(list)
    for line in lines:
        if line.trade in MATERIAL_GROUPS:
            items[key(line.item)].append(line)
    costs = {}
    for same in items.values():
        rate = _rate_paid([sums[line.id] for line in same])
        for line in same:
            total = sums[line.id]
            used = total.used + total.spoiled
            quantity = charged(line, used, total.spoiled, total.bought, progress.behind(line))
            plain = 0.0 if line.supplied == "client" else line.rate
            costs[line.id] = (
                total.paid if total.lump else exact(quantity * (plain if rate is None else rate), digits)
            )
    return costs


def charged(line: PricedLine, used: float, spoiled: float, bought: float, behind: bool) -> float:
    """The quantity that a piece bears, in units of the line. What was `spoiled` is part of what was `used`."""
    if behind:
        return used or max(bought, 0.0)
    return max(used, min(bought, line.quantity + spoiled))


def rates_paid(lines: Iterable[Filled]) -> dict[str, float]:
    """What a unit of an item cost [money], by the item, where money and count are both known."""
    money: dict[str, Decimal] = defaultdict(Decimal)
    bought: dict[str, float] = defaultdict(float)
    for one in lines:
        if one.line.trade in MATERIAL_GROUPS and one.bought > 0 and not one.lump:
            money[key(one.line.item)] += one.paid
            bought[key(one.line.item)] += one.bought
    return {item: float(money[item]) / count for item, count in bought.items()}


def _rate_paid(sums: list[Sum]) -> float | None:
    """What a unit of an item cost; None where money and count are not both known."""
    counted = [one for one in sums if not one.lump]
    bought = sum(one.bought for one in counted)
    return float(sum((one.paid for one in counted), Decimal(0))) / bought if bought > 0 else None
