"""Resin cast into a form, pour by pour."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem
from quoting.takeoff.mixing import mixed_words, mixes, resin_need, unknown_resin
from quoting.takeoff.needs import Doubt, TakeOff, doubt
from quoting.takeoff.numbers import days_of, first, whole_up
from quoting.trades.casting import CASTINGS
from quoting.values import LITRE_M3, Num, Pick, Uncertain, basis, certain

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.casting.record import Casting


def cast_resin_m3(*, volume_m3: Num, extra: Num, mixing_loss: Num) -> Num:
    """Mixed resin for a form [m3]: volume x (1 + extra) / (1 - mixing loss)."""
    return volume_m3 * (1 + extra) / (1 - mixing_loss)


def pours(*, depth_m: Num, pour_depth_m: float) -> Num:
    """Pours for a depth: ceil(depth / deepest pour)."""
    return whole_up(depth_m / pour_depth_m)


class Poured(NamedTuple):
    """A casting as it is poured, in pours of equal depth: mixed resin in all [m3], pours, mixes of one pour."""

    volume_m3: Num
    extra: Num
    mixing_loss: Num
    deepest_m: float
    mixed_m3: Num
    pours: Num
    mixes: Num


def poured(part: Casting, shop: Shop, pick: Pick) -> Poured:
    """The pours of a casting; one where no depth is given."""
    resin = shop.resin[part.resin]
    deepest = resin.pour_depth if part.pour_depth is None else part.pour_depth
    volume = pick(form_volume(part))
    extra = pick(first(part.extra, CASTINGS.of(shop).extra))
    loss = pick(first(part.mixing_loss, CASTINGS.of(shop).mixing_loss))
    mixed = cast_resin_m3(volume_m3=volume, extra=extra, mixing_loss=loss)
    count: Num = pours(depth_m=part.depth, pour_depth_m=deepest) if part.depth else 1.0
    each = mixes(volume_m3=mixed / count, most_m3=resin.most_in_one_mix)
    return Poured(volume, extra, loss, deepest, mixed, count, each)


def form_volume(part: Casting) -> Uncertain:
    """The volume of the form [m3]: given, or length x width x depth."""
    if part.volume is not None:
        return part.volume
    return certain((part.length or 0.0) * (part.width or 0.0) * (part.depth or 0.0))


def take_off(part: Casting, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Resin, pours and mass of a casting."""
    resin = shop.resin[part.resin]
    cast = poured(part, shop, pick)
    words = "{volume:volume} x (1 + {extra:share}) / (1 - mixing loss {loss:share}), pours of at most {deepest:length}: {pours:number}"
    said = basis(
        words + mixed_words(resin),
        volume=cast.volume_m3,
        extra=cast.extra,
        loss=cast.mixing_loss,
        pours=cast.pours,
        deepest=cast.deepest_m,
    )
    return TakeOff(
        needs=(resin_need(part, "casting", cast.mixed_m3, resin.density, said),),
        drivers={"part": 1.0, "pour": cast.pours, "batch": cast.pours * cast.mixes},
        facts={"resin_litres": cast.mixed_m3 / LITRE_M3},
        mass_kg=cast.volume_m3 * resin.density,
        chain="lay-up",
        chain_days=cast.pours * days_of(resin.cure_time),
        chain_steps=cast.pours,
    )


def problems(part: Casting, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A casting needs a volume, or three sides."""
    yield from unknown_resin(part, "casting", shop, CASTINGS.of(shop).mixing_loss)
    sides = all((part.length, part.width, part.depth))
    if part.volume is None and not sides:
        yield Problem(f"casting.{part.id}", "found no volume", "write volume, or length, width and depth")
    if part.volume is not None and (part.length or part.width):
        yield Problem(
            f"casting.{part.id}.volume", "found volume and sides", "write volume with depth, or the sides"
        )
    if part.pour_depth == 0:
        yield Problem(f"casting.{part.id}.pour_depth", "found 0", "write a depth above zero")


def doubts(part: Casting, shop: Shop, tables: Tables) -> Iterator[Doubt]:  # noqa: ARG001
    """A pour deeper than the resin allows; a form without a depth."""
    limit = shop.resin[part.resin].pour_depth
    deepest = limit if part.pour_depth is None else part.pour_depth
    if deepest > limit and (part.depth is None or part.depth > limit):
        words = "a pour of {deepest:length} is deeper than the {limit:length} of {resin}: it can overheat, crack or smoke"
        yield doubt(
            "pour_depth",
            f"casting.{part.id}.pour_depth",
            words,
            deepest=deepest,
            limit=limit,
            resin=part.resin,
        )
    if part.depth is None:
        words = "no depth is given: one pour is reckoned, the limit of {resin} is {limit:length}"
        yield doubt("pour_depth", f"casting.{part.id}.depth", words, resin=part.resin, limit=limit)


def pour_depth_m(part: Casting, pours: int) -> float | None:
    """Depth of one pour [m]; None where the job gives none."""
    return part.depth and part.depth / pours
