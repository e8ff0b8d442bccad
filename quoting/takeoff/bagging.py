"""What one vacuum-bagging cycle uses up, and what vacuum the place allows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from quoting.takeoff.record import Need
from quoting.values import basis, slug

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.resin_trades import Laminate
    from quoting.inputs.shop import Shop
    from quoting.inputs.standards import Bagging
    from quoting.takeoff.rounds import LayUp
    from quoting.values import Basis, Num

SEA_LEVEL_PA = 101_325.0


def atmosphere_pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere [Pa]: 101325 (1 - 2.25577e-5 h)^5.25588 (ISO 2533, below 11 km)."""
    return float(SEA_LEVEL_PA * (1 - 2.25577e-5 * altitude_m) ** 5.25588)


def film_m2(*, length_m: Num, width_m: Num, height_m: Num, bagging: Bagging) -> Num:
    """Film over a panel on a flat table [m2].

    (L + 2m + 2H + q p / 2 + 2f) (W + 2m + 2H + q p / 2 + 2f): margin m, film beyond the tape f, q pleats
    of height p shared by the two directions, H the height at the end of the round.
    """
    around = (
        2 * bagging.margin + 2 * height_m + bagging.pleats * bagging.pleat_height / 2 + 2 * bagging.beyond
    )
    return (length_m + around) * (width_m + around)


def tape_m(*, length_m: Num, width_m: Num, bagging: Bagging) -> Num:
    """Sealant tape of a cycle [m]: (2 (L + W + 4m) + 2 q p) (1 + extra)."""
    line = 2 * (length_m + width_m + 4 * bagging.margin) + 2 * bagging.pleats * bagging.pleat_height
    return line * (1 + bagging.tape_extra)


def cloth_m2(*, length_m: Num, width_m: Num, border_m: float) -> Num:
    """Peel ply, release film or breather of a cycle [m2]: (L + 2e) (W + 2e)."""
    return (length_m + 2 * border_m) * (width_m + 2 * border_m)


def needs(part: Laminate, lay: LayUp, shop: Shop) -> Iterator[Need]:
    """Consumables of every cycle of a panel."""
    bagging = shop.bagging
    size = {"length": lay.length_m, "width": lay.width_m, "cycles": lay.cycles}

    def need(name: str, item: str, dimension: str, amount: Num, words: Basis, named_by: str) -> Need:
        return Need(
            id=f"laminate.{part.id}.{name}",
            trade="bagging",
            part=part.part,
            kind="material",
            item=item,
            amounts={dimension: amount},
            basis=words,
            stage=part.stage or "bench",
            named_by=f"bagging.{named_by}",
        )

    if part.bag == "reusable":
        share = lay.cycles * bagging.bag_price / bagging.bag_cycles
        yield Need(
            id=f"laminate.{part.id}.bag",
            trade="bagging",
            part=part.part,
            kind="allowance",
            item="reusable bag",
            amounts={"count": lay.cycles},
            basis=basis(
                "{cycles:number} rounds of a bag at {price:money} that lasts {lasts:number}",
                cycles=lay.cycles,
                price=bagging.bag_price,
                lasts=bagging.bag_cycles,
            ),
            stage=part.stage or "bench",
            price=share,
            source="shop file, bagging",
        )
    else:
        tape = tape_m(length_m=lay.length_m, width_m=lay.width_m, bagging=bagging)
        words = "{cycles:number} rounds x {each:length} round {length:length} x {width:length}, {extra:share} extra included"
        yield need(
            "tape",
            bagging.tape,
            "length",
            lay.cycles * tape,
            basis(words, **size, each=tape, extra=bagging.tape_extra),
            "tape",
        )
        film = film_total_m2(lay, bagging) * (2 if part.bag == "envelope" else 1)
        words = (
            "{cycles:number} rounds over {length:length} x {width:length}, height growing to {height:length}"
        )
        words += ", both sides of an envelope" if part.bag == "envelope" else ""
        high = lay.rounds[-1].height_m
        words += "; margin {margin:length}, {beyond:length} beyond, {pleats:number} pleats of {pleat:length}"
        numbers = {
            "margin": bagging.margin,
            "beyond": bagging.beyond,
            "pleats": bagging.pleats,
            "pleat": bagging.pleat_height,
        }
        yield need("film", bagging.film, "area", film, basis(words, **size, height=high, **numbers), "film")
    cloths = [("peel-ply", bagging.peel_ply, bagging.peel_border, "peel_ply")]
    if part.release_film:
        cloths.append(("release-film", bagging.release_film, bagging.peel_border, "release_film"))
    cloths.append(("breather", bagging.breather, bagging.breather_border, "breather"))
    for name, item, border, field in cloths:
        each = cloth_m2(length_m=lay.length_m, width_m=lay.width_m, border_m=border)
        words = "{cycles:number} rounds x {each:area}: {length:length} x {width:length} with {border:length} all round"
        yield need(
            name, item, "area", lay.cycles * each, basis(words, **size, each=each, border=border), field
        )
    for item, count in bagging.per_cycle.items():
        words = "{cycles:number} rounds x {count:number}"
        name = f"cycle-{slug(item)}"
        yield need(
            name,
            item,
            "count",
            lay.cycles * count,
            basis(words, cycles=lay.cycles, count=count),
            f"per_cycle.{item}",
        )


def film_total_m2(lay: LayUp, bagging: Bagging) -> Num:
    """Film of all cycles on one side [m2]; it grows with the height laid."""
    total: Num = np.float64(0)
    for one in lay.rounds:
        total = total + one.held * film_m2(
            length_m=lay.length_m, width_m=lay.width_m, height_m=one.height_m, bagging=bagging
        )
    return total
