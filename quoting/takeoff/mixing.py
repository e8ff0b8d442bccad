"""Mixing of resin: how much at once, in how many mixes, and the line it makes. Given what it needs by the trade that calls it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, unknown
from quoting.takeoff.needs import Need, part_need
from quoting.takeoff.numbers import first, whole_up
from quoting.values import Basis, Num, Uncertain

if TYPE_CHECKING:
    from quoting.job.shop import Resin, Shop
    from quoting.trades.casting.record import Casting
    from quoting.trades.coating.record import Coating
    from quoting.trades.laminate.record import Laminate


def mixes(*, volume_m3: Num, most_m3: float) -> Num:
    """Mixes of equal size for so much resin, none larger than the data sheet allows."""
    return whole_up(volume_m3 / most_m3)


def resin_need(part: Casting | Coating, trade: str, mixed_m3: Num, density: float, words: Basis) -> Need:
    """The resin line of a casting or coating."""
    amounts = {"volume": mixed_m3, "mass": mixed_m3 * density}
    return part_need(trade, part, "resin", amounts, words, supplied=part.supplied)


def mixed_words(resin: Resin) -> str:
    """How the resin is mixed, as the end of a basis; nothing where the shop file does not say."""
    ways = ((resin.ratio_by_volume, "volume"), (resin.ratio_by_mass, "mass"))
    said = [f"{ratio[0]:g}:{ratio[1]:g} by {way}" for ratio, way in ways if ratio is not None]
    return "; mixed " + ", ".join(said) if said else ""


def unknown_resin(
    part: Casting | Coating | Laminate, trade: str, shop: Shop, usual_loss: Uncertain
) -> Iterator[Problem]:
    """A resin must have its data in the shop file, and some of it must be left after mixing."""
    if part.resin not in shop.resin:
        yield unknown(f"{trade}.{part.id}.resin", part.resin, shop.resin, ", no [resin] of the shop file")
    if first(part.mixing_loss, usual_loss).most >= 1:
        yield Problem.of(
            f"{trade}.{part.id}.mixing_loss",
            "found 100 % or more",
            'write a share such as "8 %"',
            "too_large",
        )


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
