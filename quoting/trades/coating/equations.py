"""Flood coats of resin on a surface."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem, one_wanted
from quoting.takeoff.mixing import mixed_words, mixes, resin_need, unknown_resin
from quoting.takeoff.needs import Doubt, TakeOff, doubt
from quoting.takeoff.numbers import days_of, first
from quoting.trades.coating import COATINGS
from quoting.values import LITRE_M3, Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.coating.record import Coating


def coat_resin_m3(*, area_m2: Num, thickness_m: Num, coats: int, run_off: Num, mixing_loss: Num) -> Num:
    """Mixed resin for flood coats [m3]: area x thickness x coats x (1 + run-off) / (1 - mixing loss)."""
    return area_m2 * thickness_m * coats * (1 + run_off) / (1 - mixing_loss)


def take_off(part: Coating, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Resin, work and mass of flood coats: their area [m2] is given, or length x width."""
    resin = shop.resin[part.resin]
    sides = (part.length or 0.0) * (part.width or 0.0)
    area, thickness = sides if part.area is None else pick(part.area), pick(part.thickness)
    run_off = pick(first(part.run_off, COATINGS.of(shop).run_off))
    loss = pick(first(part.mixing_loss, COATINGS.of(shop).mixing_loss))
    mixed = coat_resin_m3(
        area_m2=area, thickness_m=thickness, coats=part.coats, run_off=run_off, mixing_loss=loss
    )
    batches = part.coats * mixes(volume_m3=mixed / part.coats, most_m3=resin.most_in_one_mix)
    words = "{area:area} x {thickness:length} x {coats:number} coats x (1 + run-off {run_off:share}) / (1 - mixing loss {loss:share})"
    numbers = {"area": area, "thickness": thickness, "coats": part.coats, "run_off": run_off, "loss": loss}
    said = basis(words + mixed_words(resin), **numbers)
    return TakeOff(
        needs=(resin_need(part, "coating", mixed, resin.density, said),),
        drivers={"m2 coat": area * part.coats, "coat": part.coats, "m2": area, "batch": batches, "part": 1.0},
        facts={"resin_litres": mixed / LITRE_M3},
        mass_kg=area * thickness * part.coats * resin.density,
        chain_days=part.coats * days_of(resin.cure_time),
        chain_steps=part.coats,
    )


def problems(part: Coating, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A coating needs an area, or two sides."""
    yield from unknown_resin(part, "coating", shop, COATINGS.of(shop).mixing_loss)
    if (part.area is None) != bool(part.length and part.width) or (part.area and (part.length or part.width)):
        given = 0 if part.area is None else 2
        words = f"{one_wanted(given)} of area and sides"
        yield Problem.of(f"coating.{part.id}.area", words, "write area, or length and width", "one_of")


def doubts(part: Coating, shop: Shop, tables: Tables) -> Iterator[Doubt]:  # noqa: ARG001
    """A coat thicker than the resin allows in one layer."""
    limit = shop.resin[part.resin].pour_depth
    if part.thickness.likely > limit:
        words = "a coat of {thick:length} is deeper than the {limit:length} of {resin} in one layer"
        numbers = {"thick": part.thickness.likely, "limit": limit, "resin": part.resin}
        yield doubt("pour_depth", f"coating.{part.id}.thickness", words, **numbers)


def coat_depth_m(part: Coating, coats: int) -> float:  # noqa: ARG001
    """Depth of one coat [m]."""
    return part.thickness.likely
