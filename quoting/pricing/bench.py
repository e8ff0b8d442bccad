"""What the bench is told at the plan: each laminate round by round, each pour and each coat, and how resin is mixed."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.needs import take_offs
from quoting.pick import likely
from quoting.pricing.calendar import rest_h
from quoting.takeoff.bagging import atmosphere_pa, cloths, films, tape_m
from quoting.takeoff.casting import mixes
from quoting.takeoff.laminate_resin import losses, round_resin_m3
from quoting.takeoff.rounds import lay_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.costing.needs import Taken
    from quoting.job.brief import Brief
    from quoting.job.resin_trades import Laminate
    from quoting.job.standards import Resin
    from quoting.takeoff.rounds import LayUp


POURED = ("casting", "coating")


class Mix(NamedTuple):
    """Batches of equal size, and one of them: mixed [m3] [kg], and its parts where the ratio is known.

    A ratio by volume splits the volume, one by mass the mass; None where the shop file gives none.
    """

    batches: int
    volume_m3: float
    mass_kg: float
    by_volume_m3: tuple[float, float] | None
    by_mass_kg: tuple[float, float] | None


def mix(volume_m3: float, resin: Resin) -> Mix:
    """How so much mixed resin is made in equal batches, none larger than the data sheet allows."""
    batches = int(mixes(volume_m3=volume_m3, most_m3=resin.most_in_one_mix))
    each = volume_m3 / max(batches, 1)
    mass = each * resin.density
    return Mix(batches, each, mass, _split(each, resin.ratio_by_volume), _split(mass, resin.ratio_by_mass))


def _split(whole: float, ratio: tuple[float, float] | None) -> tuple[float, float] | None:
    if ratio is None:
        return None
    return whole * ratio[0] / sum(ratio), whole * ratio[1] / sum(ratio)


class PourCard(NamedTuple):
    """A casting or a coating, counted `times` times: so many pours or coats alike, and the mix of one.

    `depth_m` is the depth of one, None where the job gives none; `deepest_m` what the resin allows [m].
    """

    path: str
    trade: str
    part: str
    times: int
    resin: str
    steps: int
    mix: Mix
    depth_m: float | None
    deepest_m: float
    working_h: float
    cure_h: float


def pour_cards(brief: Brief) -> Iterator[PourCard]:
    """The card of every casting and coating; its pours or coats sum to the line of the price."""
    for taken in take_offs(brief, likely):
        if taken.trade in POURED:
            yield _card(taken, brief)


def _card(taken: Taken, brief: Brief) -> PourCard:
    part, off, resin = taken.part, taken.take_off, brief.shop.resin[taken.part.resin]
    steps = int(off.chain_steps)
    depth = part.thickness.likely if taken.trade == "coating" else part.depth and part.depth / steps
    return PourCard(
        path=f"{taken.trade}.{part.id}",
        trade=taken.trade,
        part=part.part,
        times=taken.times,
        resin=part.resin,
        steps=steps,
        mix=mix(float(off.needs[0].amounts["volume"]) / steps, resin),
        depth_m=depth,
        deepest_m=resin.pour_depth,
        working_h=resin.working_time,
        cure_h=rest_h(taken.trade, part, brief.shop),
    )


class RoundCard(NamedTuple):
    """A round: runs of plies in the order they are laid, its mix, sheets of film with sides [m].

    Clock from the first mix to a closed bag [h] and its share of the working time; height when cured and
    after what is flattened off then [m].
    """

    number: int
    plies: tuple[tuple[str, int], ...]
    mix: Mix
    films_m: tuple[tuple[float, float], ...]
    laying_h: float
    clock_h: float
    clock_share: float
    height_m: float
    removed_m: float

    @property
    def flat_m(self) -> float:
        """Height after flattening [m]."""
        return self.height_m - self.removed_m


class LaminateCard(NamedTuple):
    """A panel at the bench, counted `times` times; cloths with sides [m], tape [m] and `counted` things serve
    every round alike. `latest_h` is when a round must be closed [h after its first mix]. `vacuum_pa` is None where the job aims at none; `most_vacuum_pa` is all the air allows.
    """

    path: str
    part: str
    times: int
    resin: str
    working_h: float
    latest_h: float
    cure_h: float
    vacuum_pa: float | None
    most_vacuum_pa: float
    reusable: bool
    tape_m: float
    cloths_m: tuple[tuple[str, float, float], ...]
    counted: tuple[tuple[str, float], ...]
    rounds: tuple[RoundCard, ...]


def laminate_cards(brief: Brief) -> Iterator[LaminateCard]:
    """The card of every laminate of a job, at the plan; each round sums to the lines of the price."""
    shop = brief.shop
    for taken in take_offs(brief, likely):
        if taken.trade != "laminate":
            continue
        part: Laminate = taken.part
        lay = lay_up(part, shop, brief.tables, likely)
        reusable = part.bag == "reusable"
        tape = 0.0 if reusable else tape_m(length_m=lay.length_m, width_m=lay.width_m, bagging=shop.bagging)
        yield LaminateCard(
            path=f"laminate.{part.id}",
            part=part.part,
            times=taken.times,
            resin=part.resin,
            working_h=lay.working_h,
            latest_h=lay.working_h * shop.warnings.working_time_used,
            cure_h=lay.cure_h,
            vacuum_pa=part.vacuum,
            most_vacuum_pa=atmosphere_pa(shop.shop.altitude),
            reusable=reusable,
            tape_m=float(tape),
            cloths_m=tuple(
                (one.item, float(one.length_m), float(one.width_m)) for one in cloths(part, lay, shop.bagging)
            ),
            counted=tuple(shop.bagging.per_cycle.items()),
            rounds=tuple(_rounds(part, lay, brief)),
        )


def _rounds(part: Laminate, lay: LayUp, brief: Brief) -> Iterator[RoundCard]:
    lost = losses(part, brief.shop, likely)
    last, laid = len(lay.rounds), 0
    for number, one in enumerate(lay.rounds, start=1):
        before, laid = laid, laid + round(float(one.plies))
        yield RoundCard(
            number,
            tuple(ply_order(part.ply, part.block, before, laid)),
            mix(float(round_resin_m3(lay=lay, lost=lost, one=one)), lay.resin),
            tuple((float(f.length_m), float(f.width_m)) for f in films(part, lay, one, brief.shop.bagging)),
            float(one.laying_h),
            float(one.clock_h),
            float(one.clock_h) / lay.working_h if lay.working_h else 0.0,
            float(one.height_m),
            sum(float(likely(row.removes)) for row in part.flatten if (row.after or last) == number),
        )


def ply_order(items: tuple[str, ...], block: int, before: int, after: int) -> Iterator[tuple[str, int]]:
    """Runs of one item from ply `before` up to ply `after`: blocks of each item in turn."""
    order = (items[ply // block % len(items)] for ply in range(before, after))
    for item, run in groupby(order):
        yield item, sum(1 for _ in run)
