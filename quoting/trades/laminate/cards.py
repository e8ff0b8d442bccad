"""The card of a laminate for the bench: the plan, round by round, by the functions of the model."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from quoting.pick import likely
from quoting.takeoff.mixing import Mix, mix
from quoting.trades.laminate import BAGGING
from quoting.trades.laminate.bagging import atmosphere_pa, cloths, films, tape_m
from quoting.trades.laminate.resin import losses, round_resin_m3
from quoting.trades.laminate.rounds import LayUp, lay_up

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.laminate.record import Laminate


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


def card(part: Laminate, times: int, shop: Shop, tables: Tables) -> LaminateCard:
    """The card of a panel that is made `times` times."""
    lay = lay_up(part, shop, tables, likely)
    reusable = part.bag == "reusable"
    bagging = BAGGING.of(shop)
    tape = 0.0 if reusable else tape_m(length_m=lay.length_m, width_m=lay.width_m, bagging=bagging)
    return LaminateCard(
        path=f"laminate.{part.id}",
        part=part.part,
        times=times,
        resin=part.resin,
        working_h=lay.working_h,
        latest_h=lay.working_h * shop.warnings.working_time_used,
        cure_h=lay.cure_h,
        vacuum_pa=part.vacuum,
        most_vacuum_pa=atmosphere_pa(shop.shop.altitude),
        reusable=reusable,
        tape_m=float(tape),
        cloths_m=tuple(
            (one.item, float(one.length_m), float(one.width_m)) for one in cloths(part, lay, bagging)
        ),
        counted=tuple(bagging.per_cycle.items()),
        rounds=tuple(_rounds(part, lay, shop)),
    )


def _rounds(part: Laminate, lay: LayUp, shop: Shop) -> Iterator[RoundCard]:
    lost = losses(part, shop, likely)
    last, laid = len(lay.rounds), 0
    for number, one in enumerate(lay.rounds, start=1):
        before, laid = laid, laid + round(float(one.plies))
        yield RoundCard(
            number,
            tuple(ply_order(part.ply, part.block, before, laid)),
            mix(float(round_resin_m3(lay=lay, lost=lost, one=one)), lay.resin),
            tuple((float(f.length_m), float(f.width_m)) for f in films(part, lay, one, BAGGING.of(shop))),
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
