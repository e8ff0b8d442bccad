"""What two versions of a piece answer of its laminates: when a bag that stays pays, and what a round more costs."""

import math
from collections.abc import Iterator

from quoting.declaration import Compared
from quoting.trades.laminate import BAGGING, LAMINATE


def answers(first: Compared, other: Compared) -> Iterator[tuple[str, float, str]]:
    """Name, figure and words of what a difference in bags or in bagging rounds answers."""
    yield from _bag(first, other)
    yield from _round(first, other)


def _bag(first: Compared, other: Compared) -> Iterator[tuple[str, float, str]]:
    """Rounds after which a bag that stays has paid for itself: its price over the consumables that it saves a round, rounded up."""
    stays = [any(part.bag == "reusable" for part in LAMINATE.of(one.brief.job)) for one in (first, other)]
    if stays[0] == stays[1]:
        return
    kept, thrown = (other, first) if stays[1] else (first, other)
    bag, saved = BAGGING.of(kept.brief.shop), _a_round(thrown) - _a_round(kept)
    rounds = float(math.ceil(bag.bag_price / saved - 1e-9)) if saved > 0 else math.inf
    words = f"a reusable bag at {bag.bag_price:,.2f} saves {saved:,.2f} of film and tape a round"
    end = "it never pays" if math.isinf(rounds) else f"it has paid after {rounds:.0f} rounds"
    yield "reusable_bag_rounds", rounds, f"{words}: {end} (it lasts {bag.bag_cycles:g})"


def _a_round(version: Compared) -> float:
    """Consumables of a round, the share of a reusable bag left out [money]."""
    rounds = version.priced.quantities["bag_cycles"]
    spent = sum(
        float(line.amount)
        for line in version.priced.lines
        if line.trade == "bagging" and not line.id.endswith(".bag")
    )
    return spent / rounds if rounds else 0.0


def _round(first: Compared, other: Compared) -> Iterator[tuple[str, float, str]]:
    before, after = first.priced.quantities, other.priced.quantities
    more = after["bag_cycles"] - before["bag_cycles"]
    if not more or not before["bag_cycles"] or not after["bag_cycles"]:
        return
    hours = (after["labour_hours"] - before["labour_hours"]) / more
    each = (other.planned - first.planned) / more
    plies = " with its plies," if before["laminate_plies"] != after["laminate_plies"] else ""
    words = f"a round more or less,{plies} and all else that changes, moves the cost by {each:,.2f} and takes {hours:.1f} h"
    yield "cost_of_a_round", each, words
