"""Cord of a woven seat: strands side by side over its area, in some layers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cord_seats import CORDS
from quoting.errors import Problem
from quoting.takeoff.needs import Doubt, Need, TakeOff
from quoting.takeoff.numbers import first
from quoting.values import basis

if TYPE_CHECKING:
    from collections.abc import Iterator

    from cord_seats.record import Cord
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.values import Num, Pick


def cord_m(*, area_m2: float, strand_m: float, layers: int, waste: Num) -> Num:
    """Cord to buy [m]: area / strand x layers x (1 + waste), strands lying side by side (plane geometry)."""
    return area_m2 / strand_m * layers * (1.0 + waste)


def take_off(part: Cord, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Cord of all seats; weaving counts by their area."""
    usual = CORDS.of(shop)
    area = part.length * part.width * part.quantity
    waste = pick(first(part.waste, usual.waste))
    needed = cord_m(area_m2=area, strand_m=usual.strand, layers=usual.layers, waste=waste)
    return TakeOff(
        needs=(
            Need(
                id=f"cord.{part.id}.cord",
                trade="cord",
                part=part.part,
                kind="material",
                item=part.cord,
                amounts={"length": needed},
                basis=basis(
                    "{area_m2:area} / {strand:length} x {layers:number} x (1 + waste {waste:share})",
                    area_m2=area,
                    strand=usual.strand,
                    layers=usual.layers,
                    waste=waste,
                ),
                stage=part.stage or "bench",
                named_by=f"cord.{part.id}.cord",
                supplied=part.supplied,
                kept=1.0 / (1.0 + waste),
            ),
        ),
        drivers={"part": part.quantity, "woven m2": area},
        facts={"cord_m": needed},
    )


def problems(part: Cord, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """A seat is wider than one strand."""
    strand = CORDS.of(shop).strand
    if part.width < strand:
        found = f"found {part.width * 1000:g} mm, less than a strand of {strand * 1000:g} mm"
        yield Problem(f"cord.{part.id}.width", found, "write the width of the seat")


def doubts(part: Cord, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """Wide seats sag."""
    widest = CORDS.of(shop).widest
    if part.width > widest:
        words = "{width:length} is wider than {widest:length}: cord sags without a bar below it"
        yield Doubt("cord_sags", f"cord.{part.id}.width", basis(words, width=part.width, widest=widest))
