"""All needs of a job: of its parts, of the job as a whole, and of its delivery."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from quoting.takeoff.delivery import is_collected
from quoting.takeoff.labour import job_needs, standard_needs
from quoting.takeoff.record import Need
from quoting.takeoff.trades import TRADES, parts
from quoting.values import Basis, Uncertain, basis, key, slug

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from quoting.inputs.brief import Brief
    from quoting.takeoff.record import TakeOff
    from quoting.values import Num, Pick


@dataclass(frozen=True, slots=True)
class Needed:
    """What a job needs, and what its parts tell about themselves.

    `facts` are quantities by name, `chains` the longest part of each stage [d], `clipped` draws
    held back at a bound (1 where held), `mass_kg` of one piece.
    """

    needs: tuple[Need, ...]
    facts: Mapping[str, Num]
    mass_kg: Num
    chains: Mapping[str, Num]
    clipped: Mapping[str, Num]


def needed(brief: Brief, pick: Pick) -> Needed:
    """The take-off of a whole job, in the order it is printed."""
    job, shop = brief.job, brief.shop
    taken = [
        (trade, part, TRADES[trade].take_off(part, shop, brief.tables, pick)) for trade, part in parts(job)
    ]
    needs = [
        _copied(need, 1 if _is_once(need, brief) else job.piece.quantity)
        for trade, part, one in taken
        for need in (*one.needs, *standard_needs(trade, part, one, shop, pick))
    ]
    needs += job_needs(
        shop,
        pick,
        counts={"job": 1, "piece": job.piece.quantity, "supplier": len(suppliers(needs, brief))},
        setups=_setups(taken, brief),
        trades={"job", *(trade for trade, _, _ in taken)},
        packing="" if is_collected(job, shop) else packing_of(brief),
    )
    needs += _installing(brief, pick)
    replaced = {(work.replaces, slug(work.part)) for work in job.work if work.replaces}
    facts: dict[str, Num] = defaultdict(float)
    chains: dict[str, Num] = defaultdict(float)
    for _, _, one in taken:
        for name, value in one.facts.items():
            facts[name] = facts[name] + value * job.piece.quantity
        if one.chain:
            chains[one.chain] = np.maximum(chains[one.chain], one.chain_days)
    return Needed(
        needs=tuple(need for need in needs if not _is_replaced(need, replaced)),
        facts=facts,
        mass_kg=sum((one.mass_kg for _, _, one in taken), start=np.float64(0)),
        chains=chains,
        clipped={name: held for _, _, one in taken for name, held in one.clipped.items()},
    )


def packing_of(brief: Brief) -> str:
    """The standard operation that packs the piece: the job's, the channel's, else the shop's; "" for none."""
    job, shop = brief.job, brief.shop
    own = job.delivery.packing if job.delivery is not None else ""
    return own or shop.channel[job.price.channel or shop.pricing.channel].packing or shop.delivery.packing


def suppliers(needs: Iterable[Need], brief: Brief) -> list[str]:
    """The different suppliers that something is bought from, in order."""
    found: dict[str, None] = {}
    for need in needs:
        if need.kind in ("material", "outside") and need.supplied == "bought":
            name = need.supplier or next((row.supplier for row in brief.book.get(key(need.item), ())), "")
            if name:
                found[name] = None
    return list(found)


def _copied(need: Need, copies: int) -> Need:
    """The need of several pieces alike; set-ups that belong to the job are counted elsewhere, once."""
    if copies == 1:
        return need
    words = Basis(
        f"({need.basis.words}) x {{copies:number}} pieces", {**need.basis.numbers, "copies": copies}
    )
    return replace(
        need,
        amounts={dimension: amount * copies for dimension, amount in need.amounts.items()},
        basis=words,
        price=None if need.price is None else need.price * copies,
    )


def _setups(taken: list[tuple[str, Any, TakeOff]], brief: Brief) -> dict[str, int]:
    """For each operation set up per item: how many different items it meets."""
    items: dict[str, set[str]] = defaultdict(set)
    for operation, standard in brief.shop.standard.items():
        for trade, part, one in taken:
            needed_here = isinstance(part.standard.get(operation, standard.time), Uncertain)
            if trade in standard.applies_to and needed_here and operation not in one.skip:
                items[operation].add(one.setup_key or f"{trade}.{part.id}")
    return {operation: len(found) for operation, found in items.items()}


def _is_once(need: Need, brief: Brief) -> bool:
    """True for work that several pieces alike need only once: programming a new part."""
    standard = brief.shop.standard.get(need.id.rpartition(".")[2])
    return standard is not None and standard.per == "new part"


def _is_replaced(need: Need, replaced: set[tuple[str, str]]) -> bool:
    """True for a standard line whose operation hand-written work takes the place of: on the part that
    the work names, or everywhere, set-up included, where it names none.
    """
    trade, _, name = need.id.partition(".")
    if need.kind != "labour" or trade == "work":
        return False
    operation = (
        name.partition(".")[0].removesuffix("-setup") if trade == "standard" else need.id.rpartition(".")[2]
    )
    return (operation, "") in replaced or (operation, slug(need.part)) in replaced


def _installing(brief: Brief, pick: Pick) -> Iterator[Need]:
    """Hours at the client's, for each of the crew."""
    delivery, standing = brief.job.delivery, brief.shop.delivery
    if delivery is None or delivery.install_hours is None or is_collected(brief.job, brief.shop):
        return
    crew = delivery.crew or standing.crew
    hours = pick(delivery.install_hours)
    yield Need(
        id="delivery.install.hours",
        trade="delivery",
        part="installing",
        kind="labour",
        item=standing.who,
        amounts={"time": hours * crew},
        basis=basis("{hours:time} x {crew:number} of the crew", hours=hours, crew=crew),
        stage="delivery",
    )
