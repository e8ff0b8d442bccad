"""What the bench is told of each laminate: the plan, round by round, by the model's own functions."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.needs import take_offs
from quoting.pick import likely
from quoting.pricing.mixing import Mix, mix
from quoting.takeoff.bagging import atmosphere_pa, cloths, films, tape_m
from quoting.takeoff.laminate_resin import losses, round_resin_m3
from quoting.takeoff.rounds import lay_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.brief import Brief
    from quoting.inputs.resin_trades import Laminate
    from quoting.takeoff.rounds import LayUp


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
