"""Resin cast into a form, pour by pour."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.mixing import mixed_words, mixes, resin_need, unknown_resin
from quoting.takeoff.needs import Doubt, TakeOff, doubt
from quoting.takeoff.numbers import days_of, first, whole_up
from quoting.trades.casting import CASTINGS
from quoting.values import LITRE_M3, Num, Pick, basis

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


def take_off(part: Casting, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Resin, pours and mass of a casting: its volume [m3] is given, or length x width x depth; of one pour where no depth is given."""
    resin, usual = shop.resin[part.resin], CASTINGS.of(shop)
    if part.volume is not None:
        volume = pick(part.volume)
    else:
        volume = (part.length or 0.0) * (part.width or 0.0) * (part.depth or 0.0)
    extra, loss = pick(first(part.extra, usual.extra)), pick(first(part.mixing_loss, usual.mixing_loss))
    mixed = cast_resin_m3(volume_m3=volume, extra=extra, mixing_loss=loss)
    deepest = first(part.pour_depth, resin.pour_depth)
    count: Num = pours(depth_m=part.depth, pour_depth_m=deepest) if part.depth else 1.0
    each = mixes(volume_m3=mixed / count, most_m3=resin.most_in_one_mix)
    words = "{volume:volume} x (1 + {extra:share}) / (1 - mixing loss {loss:share}), pours of at most {deepest:length}: {pours:number}"
    numbers = {"volume": volume, "extra": extra, "loss": loss, "pours": count, "deepest": deepest}
    said = basis(words + mixed_words(resin), **numbers)
    return TakeOff(
        needs=(resin_need(part, "casting", mixed, resin.density, said),),
        drivers={"part": 1.0, "pour": count, "batch": count * each},
        facts={"resin_litres": mixed / LITRE_M3},
        mass_kg=volume * resin.density,
        chain_days=count * days_of(resin.cure_time),
        chain_steps=count,
    )


def problems(part: Casting, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A casting needs a volume, or three sides."""
    yield from unknown_resin(part, "casting", shop, CASTINGS.of(shop).mixing_loss)
    sides = all((part.length, part.width, part.depth))
    if part.volume is None and not sides:
        yield Problem.of(
            f"casting.{part.id}", "found no volume", "write volume, or length, width and depth", "missing"
        )
    if part.volume is not None and (part.length or part.width):
        yield Problem.of(
            f"casting.{part.id}.volume",
            "found volume and sides",
            "write volume with depth, or the sides",
            "one_of",
        )
    if part.pour_depth == 0:
        yield Problem.of(f"casting.{part.id}.pour_depth", "found 0", "write a depth above zero", "zero")


def doubts(part: Casting, shop: Shop, tables: Tables) -> Iterator[Doubt]:  # noqa: ARG001
    """A pour deeper than the resin allows; a form without a depth."""
    limit = shop.resin[part.resin].pour_depth
    deepest = first(part.pour_depth, limit)
    if deepest > limit and (part.depth is None or part.depth > limit):
        words = "a pour of {deepest:length} is deeper than the {limit:length} of {resin}: it can overheat, crack or smoke"
        numbers = {"deepest": deepest, "limit": limit, "resin": part.resin}
        yield doubt("pour_depth", f"casting.{part.id}.pour_depth", words, **numbers)
    if part.depth is None:
        words = "no depth is given: one pour is reckoned, the limit of {resin} is {limit:length}"
        yield doubt("pour_depth", f"casting.{part.id}.depth", words, resin=part.resin, limit=limit)


def pour_depth_m(part: Casting, pours: int) -> float | None:
    """Depth of one pour [m]; None where the job gives none."""
    return part.depth and part.depth / pours
