"""How hot resin may get: the most of each that lies together in a job, and how deep it is poured."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.measures import shown
from quoting.pricing.bench import laminate_cards
from quoting.pricing.pouring import pour_cards
from quoting.pricing.words import in_short

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from quoting.inputs.brief import Brief
    from quoting.pricing.pouring import PourCard


class Batch(NamedTuple):
    """The most of a resin that lies together, in a cup or a form [m3], and the deepest that it is poured [m]: 0 where it is only spread,
    None where the job gives the depth of a pour not.
    """

    resin: str
    volume_m3: float
    depth_m: float | None


def batches(brief: Brief) -> Iterator[Batch]:
    """One for every resin that a job mixes."""
    laid = [
        Batch(card.resin, one.mix.volume_m3, 0.0) for card in laminate_cards(brief) for one in card.rounds
    ]
    laid += [_poured(card) for card in pour_cards(brief)]
    for resin in dict.fromkeys(one.resin for one in laid):
        mine = [one for one in laid if one.resin == resin]
        depths = [one.depth_m for one in mine]
        known = [depth for depth in depths if depth is not None]
        deepest = max(known) if len(known) == len(depths) else None
        yield Batch(resin, max(one.volume_m3 for one in mine), deepest)


def _poured(card: PourCard) -> Batch:
    """A pour lies together whatever it was mixed in; a coat is spread cup by cup."""
    if card.trade == "casting":
        return Batch(card.resin, card.mix.volume_m3 * card.mix.batches, card.depth_m)
    return Batch(card.resin, card.mix.volume_m3, card.depth_m or 0.0)


def heat_cautions(brief: Brief, words: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What the bench is told of its resins: how much lies together and how deep, and what the shop notes about each."""
    found = list(batches(brief))
    if found:
        told = "; ".join(_told(one, brief.shop.shop.units, words) for one in found)
        yield "resin_heat", words["resin_heat"].replace("{batches}", told)
    for one in found:
        if note := brief.shop.resin[one.resin].heat_note:
            yield f"resin.{one.resin}", f"{one.resin}: {note}"


def _told(batch: Batch, system: str, words: Mapping[str, str]) -> str:
    depth = words["resin_depth_unknown"] if batch.depth_m is None else ""
    if batch.depth_m:
        deep = in_short(shown(batch.depth_m, "length", system))
        depth = words["resin_depth"].replace("{depth}", deep)
    return f"{batch.resin} {in_short(shown(batch.volume_m3, 'volume', system))}{depth}"
