"""How resin is mixed: in equal batches no larger than the data sheet allows, by the shop's ratios alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.takeoff.casting import mixes

if TYPE_CHECKING:
    from quoting.inputs.standards import Resin


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
