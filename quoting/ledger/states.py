"""How a piece stands, in the words of the trade: how the deal goes, and how far the work is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import reduce

from quoting.advice import Advice
from quoting.errors import nearest, refused
from quoting.ledger.entries import Entry
from quoting.ledger.words import STATE, as_told

AWAITING, AGREED, REFUSED, LAPSED, WITHDRAWN = "awaiting answer", "agreed", "refused", "lapsed", "withdrawn"
FOR_SALE, ON_CONSIGNMENT, SOLD, WRITTEN_OFF = "for sale", "on consignment", "sold", "written off"
CANCELLED, RETURNED, BUILT, DELIVERED = "cancelled", "returned", "built", "delivered"

NEXT: dict[str, tuple[str, ...]] = {
    AWAITING: (AGREED, REFUSED, LAPSED, WITHDRAWN),
    LAPSED: (AGREED, REFUSED, WITHDRAWN),
    REFUSED: (AGREED,),
    WITHDRAWN: (AWAITING, FOR_SALE),
    AGREED: (CANCELLED, RETURNED),
    FOR_SALE: (ON_CONSIGNMENT, SOLD, WITHDRAWN, WRITTEN_OFF),
    ON_CONSIGNMENT: (FOR_SALE, SOLD, WITHDRAWN, WRITTEN_OFF),
    SOLD: (CANCELLED, RETURNED),
    CANCELLED: (FOR_SALE, ON_CONSIGNMENT, WRITTEN_OFF),
    RETURNED: (FOR_SALE, ON_CONSIGNMENT, SOLD, AGREED, WRITTEN_OFF),
    WRITTEN_OFF: (),
}
"""What a deal may become next."""

WORK_ALLOWED = {
    BUILT: (AGREED, FOR_SALE, ON_CONSIGNMENT, SOLD, CANCELLED, RETURNED),
    DELIVERED: (AGREED, SOLD),
}
"""In which deals the work may be marked."""

BOUND = (AGREED, SOLD)
"""Deals in which somebody owes the price."""

OWN_STOCK = (FOR_SALE, ON_CONSIGNMENT, RETURNED)
"""Deals in which the piece is the maker's own to sell."""

ENDED = (CANCELLED, WRITTEN_OFF, REFUSED, WITHDRAWN, LAPSED)
"""Deals under which nothing more is built."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a piece is: its deal and whether it is built and delivered, since the day of the last step.

    `entry` is the one that made the deal: it carries the price of a sale, what is kept, the option chosen.
    """

    deal: str = ""
    since: date | None = None
    quote: int | None = None
    entry: Entry | None = None
    built: bool = False
    delivered: bool = False

    @property
    def ordered(self) -> bool:
        """True while somebody who owes the price still waits for the piece."""
        return self.deal in BOUND and not self.delivered

    @property
    def words(self) -> str:
        """The state in words, such as "agreed, built"."""
        work = DELIVERED if self.delivered else BUILT if self.built else ""
        return f"{self.deal}, {work}" if work else self.deal


def standing_of(entries: Sequence[Entry]) -> Standing:
    """Where the entries that hold have brought a piece."""
    return reduce(_after, (one for one in entries if one.kind == STATE), Standing())


def _after(now: Standing, entry: Entry) -> Standing:
    if entry.said in WORK_ALLOWED:
        delivered = entry.said == DELIVERED
        return Standing(now.deal, entry.day, now.quote, now.entry, True, delivered or now.delivered)
    delivered = now.delivered and entry.said != RETURNED
    return Standing(entry.said, entry.day, entry.quote, entry, now.built, delivered)


def refuse_step(now: Standing, wanted: str) -> None:
    """Raise Problems where a piece that stands so cannot become `wanted`."""
    states = (*NEXT, *WORK_ALLOWED)
    if wanted not in states:
        raise refused(
            "state", f'found "{wanted[:40]}"', nearest(as_told(STATE, wanted)[1], states), code="unknown_name"
        )
    if wanted in WORK_ALLOWED:
        fits = now.deal in WORK_ALLOWED[wanted]
        done = now.delivered if wanted == DELIVERED else now.built
    else:
        fits = wanted in NEXT[now.deal] and (wanted != RETURNED or now.delivered)
        done = wanted == now.deal
    if fits and not done:
        return
    never = {RETURNED: not now.delivered, BUILT: now.built, DELIVERED: now.delivered}
    can = [*NEXT[now.deal], *(work for work, deals in WORK_ALLOWED.items() if now.deal in deals)]
    can = [one for one in can if not never.get(one)]
    found = f'is "{now.words}" already' if done else f'found "{wanted}" for a piece that is "{now.words}"'
    back = Advice("take_state_back")
    advice = f"write one of: {', '.join(can)}" if can else back
    raise refused("state", found, advice, code="state")
