"""All needs of a job: of its parts, of the job as a whole, and of its delivery."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from quoting.takeoff.delivery import channel_of, is_collected
from quoting.takeoff.labour import acts, job_needs, standard_needs
from quoting.takeoff.needs import Need, TakeOff
from quoting.takeoff.numbers import total
from quoting.trades.parts import parts, several, take_off
from quoting.trades.registry import chain_of
from quoting.values import Basis, Num, Pick, Uncertain, basis, key, slug

if TYPE_CHECKING:
    from quoting.job.brief import Brief


@dataclass(frozen=True, slots=True)
class Needed:
    """What a job needs, and what its parts tell about themselves.

    `facts` are quantities by name, `chains` the longest part of each stage [d], `clipped` draws
    held back at a bound (1 where held), `mass_kg` of one piece, `replacing_nothing` the ids of work that
    should take the place of standard lines, and finds none.
    """

    needs: tuple[Need, ...]
    facts: Mapping[str, Num]
    mass_kg: Num
    chains: Mapping[str, Num]
    clipped: Mapping[str, Num]
    replacing_nothing: tuple[str, ...]


class Taken(NamedTuple):
    """A part as all pieces need it, its take-off, and how often that is counted."""

    trade: str
    part: Any
    take_off: TakeOff
    times: int


def take_offs(brief: Brief, pick: Pick) -> list[Taken]:
    """The take-off of every part, in printed order."""
    taken = []
    for trade, given in parts(brief.job):
        part, times = several(trade, given, brief.job.piece.quantity)
        off = take_off(trade, part, brief.shop, brief.tables, pick)
        taken.append(Taken(trade, part, off, times))
    return taken


def needed(brief: Brief, pick: Pick) -> Needed:
    """The take-off of a whole job, in the order it is printed."""
    job, shop = brief.job, brief.shop
    copies = job.piece.quantity
    taken = take_offs(brief, pick)
    needs = [
        _copied(need, one.times)
        for one in taken
        for need in (*one.take_off.needs, *standard_needs(one.trade, one.part, one.take_off, shop, pick))
    ]
    needs += job_needs(
        shop,
        pick,
        counts={"job": 1, "piece": copies, "supplier": len(suppliers(needs, brief))},
        setups=_setups(taken, brief),
        trades={"job", *(one.trade for one in taken)},
        packing="" if is_collected(job, shop) else packing_of(brief),
    )
    needs += _installing(brief, pick)
    facts: dict[str, Num] = defaultdict(float)
    chains: dict[str, Num] = defaultdict(float)
    for one in taken:
        for name, value in one.take_off.facts.items():
            facts[name] = facts[name] + value * one.times
        if chain := chain_of(one.trade):
            chains[chain] = np.maximum(chains[chain], one.take_off.chain_days)
    replacing = {
        part.id: _replaced_by(part, needs)
        for _, part in parts(job)
        if getattr(part, "replaces", "") in shop.standard
    }
    gone = {id for ids in replacing.values() for id in ids}
    mass = total(one.take_off.mass_kg * one.times for one in taken)
    return Needed(
        needs=tuple(need for need in needs if need.id not in gone),
        facts=facts,
        mass_kg=mass / copies,
        chains=chains,
        clipped={name: held for one in taken for name, held in one.take_off.clipped.items()},
        replacing_nothing=tuple(work for work, ids in replacing.items() if not ids),
    )


def packing_of(brief: Brief) -> str:
    """The standard operation that packs the piece: the job's, the channel's, else the shop's; "" for none."""
    job, shop = brief.job, brief.shop
    own = job.delivery.packing if job.delivery is not None else ""
    return own or channel_of(job, shop).packing or shop.delivery.packing


def suppliers(needs: Iterable[Need], brief: Brief) -> list[str]:
    """The different suppliers that something is bought from, in order: a need names its own, else the price file does."""
    bought = (need for need in needs if need.kind in ("material", "outside") and need.supplied == "bought")
    named = (
        need.supplier or next((row.supplier for row in brief.book.get(key(need.item), ())), "")
        for need in bought
    )
    return list(dict.fromkeys(filter(None, named)))


def _copied(need: Need, copies: int) -> Need:
    """The need of several pieces alike; set-ups that belong to the job are counted elsewhere, once."""
    if copies == 1:
        return need
    numbers = {**need.basis.numbers, "copies": copies}
    words = Basis(f"({need.basis.words}) x {{copies:number}} pieces", numbers)
    return replace(need.times(copies), basis=words)


def _setups(taken: list[Taken], brief: Brief) -> dict[str, int]:
    """For each operation set up per item: how many different items it meets."""
    items: dict[str, set[str]] = defaultdict(set)
    for operation, standard in brief.shop.standard.items():
        for one in taken:
            wanted = isinstance(one.part.standard.get(operation, standard.time), Uncertain)
            if wanted and acts(operation, standard, one.trade, one.take_off):
                items[operation].add(one.take_off.setup_key or f"{one.trade}.{one.part.id}")
    return {operation: len(found) for operation, found in items.items()}


def _replaced_by(work: Any, needs: list[Need]) -> list[str]:
    """Ids of the standard lines that hand-written work takes the place of: on the part that the work
    names, or everywhere, set-up included, where it names none.
    """
    return [
        need.id
        for need in needs
        if need.operation == work.replaces and (not work.part or slug(work.part) == slug(need.part))
    ]


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
