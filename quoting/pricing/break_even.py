"""What makers ask of two versions: when a reusable bag pays, what one more round costs, which price would even them out."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.model import cost
from quoting.pick import likely
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.compare import Version

STEP = 1.01  # cost is linear in a price: any step finds its slope


class Answer(NamedTuple):
    """An answer to one question: its name, its figure, and the words that hold it."""

    name: str
    figure: float
    words: str


def answers(first: Version, other: Version) -> Iterator[Answer]:
    """What the difference of two versions answers; nothing where it asks nothing."""
    yield from _bag(first, other)
    yield from _round(first, other)
    yield from _glass(first, other)
    yield from _prices(first, other)


def rounds_to_pay(*, bag_price: float, saved_a_round: float) -> float:
    """Rounds after which a reusable bag has paid for itself: ceil(price / what it saves a round); infinite if nothing."""
    return float(math.ceil(bag_price / saved_a_round - 1e-9)) if saved_a_round > 0 else math.inf


def _bag(first: Version, other: Version) -> Iterator[Answer]:
    """Consumables a round with and without the bag that stays."""
    bags = {version.name: {part.bag for part in version.brief.job.laminate} for version in (first, other)}
    if ("reusable" in bags[first.name]) == ("reusable" in bags[other.name]):
        return
    kept, thrown = (other, first) if "reusable" in bags[other.name] else (first, other)
    saved = _a_round(thrown) - _a_round(kept)
    price = kept.brief.shop.bagging.bag_price
    rounds = rounds_to_pay(bag_price=price, saved_a_round=saved)
    words = f"a reusable bag at {price:,.2f} saves {saved:,.2f} of film and tape a round"
    end = "it never pays" if math.isinf(rounds) else f"it has paid after {rounds:.0f} rounds"
    lasts = kept.brief.shop.bagging.bag_cycles
    yield Answer("reusable_bag_rounds", rounds, f"{words}: {end} (it lasts {lasts:g})")


def _a_round(version: Version) -> float:
    """Consumables of a round, the share of a reusable bag left out [money]."""
    rounds = version.priced.quantities["bag_cycles"]
    spent = sum(
        float(line.amount)
        for line in version.priced.lines
        if line.trade == "bagging" and not line.id.endswith(".bag")
    )
    return spent / rounds if rounds else 0.0


def _round(first: Version, other: Version) -> Iterator[Answer]:
    one, two = (version.priced.quantities["bag_cycles"] for version in (first, other))
    if one == two or not one or not two:
        return
    hours = (other.priced.quantities["labour_hours"] - first.priced.quantities["labour_hours"]) / (two - one)
    each = _difference(first, other) / (two - one)
    yield Answer(
        "cost_of_a_round",
        each,
        f"a round more or less, with its plies, moves the cost by {each:,.2f} and takes {hours:.1f} h",
    )


def _glass(first: Version, other: Version) -> Iterator[Answer]:
    def treatments(version: Version) -> dict[str, str]:
        return {part.id: part.treatment for part in version.brief.job.glass}

    one, two = treatments(first), treatments(other)
    changed = [name for name in one if name in two and one[name] != two[name]]
    if not changed:
        return
    glass = [
        sum(float(line.amount) for line in version.priced.lines if line.trade == "glass")
        for version in (first, other)
    ]
    more = glass[1] - glass[0]
    words = f"{two[changed[0]]} instead of {one[changed[0]]} glass costs {more:,.2f} more"
    if more < 0:
        words = f"{two[changed[0]]} instead of {one[changed[0]]} glass costs {-more:,.2f} less"
    yield Answer("glass_treatment", more, words)


def _prices(first: Version, other: Version) -> Iterator[Answer]:
    """By how much the prices of what takes the place of other items would have to differ for the same cost."""
    before = {line.id: key(line.item) for line in first.priced.lines}
    after = {line.id: key(line.item) for line in other.priced.lines}
    new = {item for id, item in after.items() if before.get(id, item) != item and item in other.brief.book}
    if not new:
        return
    dearer = {
        name: tuple(replace(row, price=row.price * STEP) for row in rows) if name in new else rows
        for name, rows in other.brief.book.items()
    }
    cheap, dear = (
        float(cost(brief, likely).planned) for brief in (other.brief, replace(other.brief, book=dearer))
    )
    slope = (dear - cheap) / (STEP - 1)
    if slope <= 0:
        return
    factor = 1 - _difference(first, other) / slope
    named = ", ".join(sorted(new))
    if factor <= 0:
        yield Answer("price_factor", factor, f"no price of {named} would make the cost the same")
        return
    how = "higher" if factor > 1 else "lower"
    yield Answer(
        "price_factor", factor, f"the cost would be the same if {named} came {abs(factor - 1):.0%} {how}"
    )


def _difference(first: Version, other: Version) -> float:
    return float(cost(other.brief, likely).planned) - float(cost(first.brief, likely).planned)
