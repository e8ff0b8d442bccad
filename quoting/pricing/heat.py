"""How hot resin may get: the largest batch of each that a job mixes at once, and how deep it is poured."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.measures import shown
from quoting.pricing.bench import laminate_cards
from quoting.pricing.pouring import pour_cards
from quoting.pricing.words import in_short

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from quoting.inputs.brief import Brief


class Batch(NamedTuple):
    """The largest batch of a resin [m3], and the deepest that it is poured [m]; 0 where it is only spread."""

    resin: str
    volume_m3: float
    depth_m: float


def batches(brief: Brief) -> Iterator[Batch]:
    """One for every resin that a job mixes."""
    found: dict[str, Batch] = {}
    mixed = [(card.resin, one.mix.volume_m3, 0.0) for card in laminate_cards(brief) for one in card.rounds]
    mixed += [(card.resin, card.mix.volume_m3, card.depth_m or 0.0) for card in pour_cards(brief)]
    for resin, volume, depth in mixed:
        before = found.get(resin, Batch(resin, 0.0, 0.0))
        found[resin] = Batch(resin, max(volume, before.volume_m3), max(depth, before.depth_m))
    yield from found.values()


def heat_words(batch: Batch, brief: Brief, words: Mapping[str, str]) -> str:
    """What the bench is told of a resin: its largest batch and depth here, and what the shop notes about it."""
    system = brief.shop.shop.units

    def said(value: float, dimension: str) -> str:
        return in_short(shown(value, dimension, system))

    depth = words["resin_depth"].replace("{depth}", said(batch.depth_m, "length")) if batch.depth_m else ""
    filled = words["resin_heat"].replace("{batch}", said(batch.volume_m3, "volume")).replace("{depth}", depth)
    note = brief.shop.resin[batch.resin].heat_note
    return f"{filled.replace('{resin}', batch.resin)}{f' {note[:1].upper()}{note[1:]}.' if note else ''}"
