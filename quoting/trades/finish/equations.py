"""Oil, varnish, wax: litres by coverage."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.needs import TakeOff, part_need
from quoting.takeoff.numbers import days_of, first, times, with_own_times
from quoting.trades.finish import FINISHES
from quoting.values import LITRE_M3, Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.finish.record import Finish


def product_m3(*, area_m2: Num, coats: int, coverage_per_m: Num) -> Num:
    """Product for a surface [m3]: area x coats / coverage.

    Shapes: coverage in m2 per m3, [1/m].
    """
    return area_m2 * coats / coverage_per_m


def take_off(part: Finish, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Litres, work and drying of a finish."""
    coats = first(part.coats, FINISHES.of(shop).coats)
    coverage = pick(first(part.coverage, FINISHES.of(shop).coverage))
    area = pick(part.area)
    product = product_m3(area_m2=area, coats=coats, coverage_per_m=coverage)
    words = "{area:area} x {coats:number} coats / {coverage:coverage}"
    said = basis(words, area=area, coats=coats, coverage=coverage)
    need = part_need(
        "finish", part, "product", {"volume": product}, said, stage="finishing", supplied=part.supplied
    )
    return TakeOff(
        needs=(need,),
        drivers={"m2 coat": area * coats, "coat": coats, "m2": area, "part": 1.0},
        facts={"finish_litres": product / LITRE_M3},
        chain_days=coats * days_of(rest_h(part, shop)),
        chain_steps=coats,
    )


def problems(part: Finish, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """Coverage divides: it must be above zero."""
    if first(part.coverage, FINISHES.of(shop).coverage).least <= 0:
        yield Problem.of(
            f"finish.{part.id}.coverage", "found 0", 'write a coverage such as "11 m2/L"', "zero"
        )


def several(part: Finish, copies: int) -> Finish:
    """The surfaces of several pieces together; times that the part gives are for one."""
    return with_own_times(replace(part, area=times(part.area, copies)), copies)


def rest_h(part: Finish, shop: Shop) -> float:
    """Drying time of a coat [h]: the part's own, else the shop's."""
    return float(first(part.dry_time, FINISHES.of(shop).dry_time))
