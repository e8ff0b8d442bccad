"""What the bench is told of each laminate: the plan, round by round, by the model's own functions."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.needs import take_offs
from quoting.pick import likely
from quoting.takeoff.bagging import cloths, films
from quoting.takeoff.casting import mixes
from quoting.takeoff.laminate_resin import losses, round_resin_m3
from quoting.takeoff.plies import plies_of_item
from quoting.takeoff.rounds import lay_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.brief import Brief
    from quoting.inputs.resin_trades import Laminate
    from quoting.inputs.standards import Resin
    from quoting.takeoff.rounds import LayUp


class Mix(NamedTuple):
    """Batches of equal size, and one of them: mixed [m3] [kg], and its parts where the ratio is known.

    A ratio by volume splits the volume, one by mass the mass; None where the shop file gives none.
    """

    batches: int
    volume_m3: float
    mass_kg: float
    by_volume_m3: tuple[float, float] | None
    by_mass_kg: tuple[float, float] | None


class RoundCard(NamedTuple):
    """A round: plies by item, its mix, sheets of film with sides [m], clock [h], height at its end [m]."""

    number: int
    plies: tuple[tuple[str, int], ...]
    mix: Mix
    films_m: tuple[tuple[float, float], ...]
    laying_h: float
    clock_h: float
    height_m: float
    removed_m: float


class LaminateCard(NamedTuple):
    """A panel at the bench, counted `times` times; cloths with sides [m] serve every round alike."""

    part: str
    times: int
    resin: str
    working_h: float
    cure_h: float
    cloths_m: tuple[tuple[str, float, float], ...]
    rounds: tuple[RoundCard, ...]


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


def laminate_cards(brief: Brief) -> Iterator[LaminateCard]:
    """The card of every laminate of a job, at the plan; each round sums to the lines of the price."""
    shop = brief.shop
    for taken in take_offs(brief, likely):
        if taken.trade != "laminate":
            continue
        lay = lay_up(taken.part, shop, brief.tables, likely)
        cut = cloths(taken.part, lay, shop.bagging)
        yield LaminateCard(
            taken.part.part,
            taken.times,
            taken.part.resin,
            lay.working_h,
            lay.cure_h,
            tuple((one.item, float(one.length_m), float(one.width_m)) for one in cut),
            tuple(_rounds(taken.part, lay, brief)),
        )


def _rounds(part: Laminate, lay: LayUp, brief: Brief) -> Iterator[RoundCard]:
    lost = losses(part, brief.shop, likely)
    last, laid = len(lay.rounds), 0.0
    for number, one in enumerate(lay.rounds, start=1):
        before, laid = laid, laid + float(one.plies)
        counts = [
            (item, [int(plies_of_item(plies=n, block=part.block, position=i, items=len(part.ply))) for n in (before, laid)])
            for i, item in enumerate(part.ply)
        ]  # fmt: skip
        yield RoundCard(
            number,
            tuple((item, after - already) for item, (already, after) in counts if after > already),
            mix(float(round_resin_m3(lay=lay, lost=lost, one=one)), lay.resin),
            tuple((float(f.length_m), float(f.width_m)) for f in films(part, lay, one, brief.shop.bagging)),
            float(one.laying_h),
            float(one.clock_h),
            float(one.height_m),
            sum(float(likely(row.removes)) for row in part.flatten if (row.after or last) == number),
        )
