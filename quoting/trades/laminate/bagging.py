"""What one vacuum-bagging cycle uses up, what vacuum the place allows, and the card of it for the bench."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.pick import likely
from quoting.takeoff.mixing import Mix, mix
from quoting.takeoff.needs import Need, part_need
from quoting.takeoff.numbers import total
from quoting.trades.laminate import BAGGING
from quoting.trades.laminate.rounds import LayUp, Round, lay_up, round_resin_m3
from quoting.values import Basis, Num, basis, slug

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.laminate.record import Bagging, Laminate


SEA_LEVEL_PA = 101_325.0


def atmosphere_pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere [Pa]: 101325 (1 - 2.25577e-5 h)^5.25588 (ISO 2533, below 11 km)."""
    return float(SEA_LEVEL_PA * (1 - 2.25577e-5 * altitude_m) ** 5.25588)


class Cloth(NamedTuple):
    """A sheet cut for a round: its field of the shop file, its item, its sides and what it has beyond the panel on each [m]."""

    field: str
    item: str
    length_m: Num
    width_m: Num
    border_m: float = 0.0

    @property
    def area_m2(self) -> Num:
        """Its area [m2]."""
        return self.length_m * self.width_m


def film_around_m(*, height_m: Num, bagging: Bagging) -> Num:
    """What film is longer and wider than a panel on a flat table [m].

    2m + 2H + q p / 2 + 2f: margin m, film beyond the tape f, q pleats of height p shared by the two
    directions, H the height at the end of the round.
    """
    return 2 * bagging.margin + 2 * height_m + bagging.pleats * bagging.pleat_height / 2 + 2 * bagging.beyond


def films(part: Laminate, lay: LayUp, one: Round, bagging: Bagging) -> tuple[Cloth, ...]:
    """Film of a round: none for a reusable bag, two sheets for an envelope. Its area is (L + a) (W + a)."""
    around = film_around_m(height_m=one.height_m, bagging=bagging)
    sheet = Cloth("film", bagging.film, lay.length_m + around, lay.width_m + around)
    return (sheet,) * {"reusable": 0, "disposable": 1, "envelope": 2}[part.bag]


def tape_m(*, length_m: Num, width_m: Num, bagging: Bagging) -> Num:
    """Sealant tape of a cycle [m]: (2 (L + W + 4m) + 2 q p) (1 + extra)."""
    line = 2 * (length_m + width_m + 4 * bagging.margin) + 2 * bagging.pleats * bagging.pleat_height
    return line * (1 + bagging.tape_extra)


def cloths(part: Laminate, lay: LayUp, bagging: Bagging) -> tuple[Cloth, ...]:
    """Peel ply, release film where it is wanted, and breather of a cycle, each (L + 2e) by (W + 2e)."""
    wanted = {
        "peel_ply": bagging.peel_border,
        "release_film": bagging.peel_border,
        "breather": bagging.breather_border,
    }
    return tuple(
        Cloth(field, getattr(bagging, field), lay.length_m + 2 * border, lay.width_m + 2 * border, border)
        for field, border in wanted.items()
        if field != "release_film" or part.release_film
    )


def needs(part: Laminate, lay: LayUp, shop: Shop) -> Iterator[Need]:
    """Consumables of every cycle of a panel."""
    bagging = BAGGING.of(shop)
    size = {"length": lay.length_m, "width": lay.width_m, "cycles": lay.cycles}

    def need(name: str, item: str, dimension: str, amount: Num, words: Basis, **more: Any) -> Need:
        found = part_need("laminate", part, name, {dimension: amount}, words, item=item, **more)
        return replace(found, trade="bagging")

    if part.bag == "reusable":
        share = lay.cycles * bagging.bag_price / bagging.bag_cycles
        words = "{cycles:number} rounds of a bag at {price:money} that lasts {lasts:number}"
        said = basis(words, cycles=lay.cycles, price=bagging.bag_price, lasts=bagging.bag_cycles)
        worn = {"kind": "wear", "price": share, "source": "shop file, bagging"}
        yield need("bag", "reusable bag", "count", lay.cycles, said, **worn)
    else:
        tape = tape_m(length_m=lay.length_m, width_m=lay.width_m, bagging=bagging)
        words = "{cycles:number} rounds x {each:length} round {length:length} x {width:length}, {extra:share} extra included"
        said = basis(words, **size, each=tape, extra=bagging.tape_extra)
        yield need("tape", bagging.tape, "length", lay.cycles * tape, said, named_by="bagging.tape")
        film = total(
            one.held * sheet.area_m2 for one in lay.rounds for sheet in films(part, lay, one, bagging)
        )
        words = (
            "{cycles:number} rounds over {length:length} x {width:length}, height growing to {height:length}"
        )
        words += ", both sides of an envelope" if part.bag == "envelope" else ""
        words += "; margin {margin:length}, {beyond:length} beyond, {pleats:number} pleats of {pleat:length}"
        said = basis(
            words, **size, height=lay.rounds[-1].height_m, margin=bagging.margin, beyond=bagging.beyond,
            pleats=bagging.pleats, pleat=bagging.pleat_height,
        )  # fmt: skip
        yield need("film", bagging.film, "area", film, said, named_by="bagging.film")
    for cut in cloths(part, lay, bagging):
        words = "{cycles:number} rounds x {each:area}: {length:length} x {width:length} with {border:length} all round"
        said = basis(words, **size, each=cut.area_m2, border=cut.border_m)
        name, area = cut.field.replace("_", "-"), lay.cycles * cut.area_m2
        yield need(name, cut.item, "area", area, said, named_by=f"bagging.{cut.field}")
    for item, count in bagging.per_cycle.items():
        said = basis("{cycles:number} rounds x {count:number}", cycles=lay.cycles, count=count)
        name, named_by = f"cycle-{slug(item)}", f"bagging.per_cycle.{item}"
        yield need(name, item, "count", lay.cycles * count, said, named_by=named_by)


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
    last, laid = len(lay.rounds), 0
    for number, one in enumerate(lay.rounds, start=1):
        before, laid = laid, laid + round(float(one.plies))
        yield RoundCard(
            number,
            tuple(ply_order(part.ply, part.block, before, laid)),
            mix(float(round_resin_m3(lay=lay, one=one)), lay.resin),
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
