"""A laminate panel: plies, resin, bagging and hours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from quoting.takeoff.labour import OWN_TIME, attended_share, hours_need, own_time
from quoting.takeoff.mixing import mixed_words
from quoting.takeoff.needs import Need, TakeOff, part_need
from quoting.takeoff.numbers import days_of, first, picked, surfacing_h, total, whole_up
from quoting.trades.laminate import LAMINATES, TRADE, bagging
from quoting.trades.laminate.plies import plies_of_item
from quoting.trades.laminate.rounds import (
    MOST_ROUNDS,
    LayUp,
    batches,
    lay_up,
    laying_standard,
    outside_m2,
    resin_m3,
)
from quoting.values import LITRE_M3, Basis, Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.laminate.record import Flatten, Laminate

NO_AREA_M2 = 1e-12  # of a kind of ply that is not laid yet


def take_off(part: Laminate, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Plies, resin, bagging cycles and hours of a panel."""
    standing = LAMINATES.of(shop)
    lay = lay_up(part, shop, tables, pick)
    resin = _resin_need(part, lay)
    fraction = lay.fibre_share
    cured = (
        np.minimum(fraction, 1.0) * lay.fibre.density_kg_m3
        + np.maximum(1 - fraction, 0.0) * lay.resin.density
    )
    ply_needs, sheets = _ply_needs(part, lay, pick(first(part.spoilage, standing.spoilage)))
    needs = [
        *ply_needs,
        resin,
        *bagging.needs(part, lay, shop),
        *_labour(part, lay, shop, pick),
        *_flattening(part, lay.area_m2, shop, pick),
    ]
    round_h = total(need.amounts["time"] for need in needs if need.kind == "labour") / lay.cycles
    clipped = {
        "fibre fraction above 1": fraction >= 1,
        "no block fits the working time": not part.plies_per_round and lay.fitting_plies < part.block,
        f"more than {MOST_ROUNDS} rounds": whole_up(lay.plies / lay.per_round) > MOST_ROUNDS,
    }
    used = {need.id.rpartition(".")[2]: need.amounts for need in needs}
    return TakeOff(
        needs=tuple(needs),
        drivers={"part": 1.0, "cycle": lay.cycles, "ply m2": lay.plies * lay.area_m2},
        facts={
            "laminate_plies": lay.plies,
            "laminate_sheets": sheets,
            "bag_cycles": lay.cycles,
            "resin_litres": resin.amounts["volume"] / LITRE_M3,
            "bag_film_m2": used["film"]["area"] if "film" in used else 0.0,
            "peel_ply_m2": used["peel-ply"]["area"],
            "breather_m2": used["breather"]["area"],
            "sealant_tape_m": used["tape"]["length"] if "tape" in used else 0.0,
        },
        mass_kg=part.length * part.width * part.thickness * cured,
        chain_days=lay.cycles * days_of(round_h + lay.cure_h),
        chain_steps=lay.cycles,
        clipped={f"laminate.{part.id}: {what}": np.where(held, 1.0, 0.0) for what, held in clipped.items()},
        skip=frozenset(TRADE.reckoned),
    )


def _ply_needs(part: Laminate, lay: LayUp, spoilage: Num) -> tuple[list[Need], Num]:
    """A line for each kind of ply, and the sheets or strips bought in all."""
    needs = []
    bought: Num = np.float64(0)
    in_piece = part.thickness / (lay.plies * lay.ply_m)
    for position, item in enumerate(part.ply):
        plies = plies_of_item(plies=lay.plies, block=part.block, position=position, items=len(part.ply))
        pieces = plies * lay.layout.pieces * (1 + spoilage)
        runs = whole_up(plies / lay.layout.abreast)
        area = runs * lay.layout.abreast * lay.layout.sheet_m2 * (1 + spoilage)
        bought = bought + pieces
        amounts: dict[str, Num] = {"area": area, "mass": area * part.ply_mass}
        if part.roll_width is None:
            amounts["count"] = whole_up(pieces)
            words = "{plies:number} plies x {pieces:number} sheets x (1 + spoilage {spoilage:share})"
        else:
            amounts["length"] = runs * lay.layout.strip_m * (1 + spoilage)
            words = "{plies:number} plies, side by side {abreast:number}: {runs:number} x {strip:length} of roll (strips a ply: {pieces:number}) x (1 + spoilage {spoilage:share})"
        words += "; {all:number} plies = ({finished:length} + {removed:length} flattened off) / {ply:length}"
        words += ", up to whole blocks of {block:number}" if part.block > 1 else ""
        said = basis(
            words, plies=plies, pieces=lay.layout.pieces, spoilage=spoilage, strip=lay.layout.strip_m, abreast=lay.layout.abreast,
            runs=runs, all=lay.plies, finished=part.thickness, removed=lay.removed_m, ply=lay.ply_m, block=part.block,
        )  # fmt: skip
        name = f"ply-{position + 1}" if len(part.ply) > 1 else "ply"
        kept = np.minimum(in_piece * plies * part.length * part.width / np.maximum(area, NO_AREA_M2), 1.0)
        need = part_need("laminate", part, name, amounts, said, item=item, field="ply", kept=kept)
        needs.append(replace(need, supplied=part.supplied))
    return needs, bought


def _resin_need(part: Laminate, lay: LayUp) -> Need:
    """The resin line of a laminate."""
    resin = resin_m3(lay=lay)
    return part_need(
        "laminate",
        part,
        "resin",
        {"volume": resin, "mass": resin * lay.resin.density},
        basis(
            "{plies:number} plies x {area:area} x ({ply:length} - fibre {fibre:areal_mass} / {density:density})"
            " + wet-out {wet_out:areal_mass} / {mixed:density} on sheet outside the panel ({outside:area} a ply)"
            " + {rounds:number} rounds x {bleed:depth_per_area} bleed; / (1 - mixing loss {loss:share})"
            + mixed_words(lay.resin),
            plies=lay.plies,
            area=lay.area_m2,
            ply=lay.ply_m,
            fibre=lay.fibre_kg_m2,
            density=lay.fibre.density_kg_m3,
            wet_out=lay.wet_out_kg_m2,
            mixed=lay.resin.density,
            outside=outside_m2(lay),
            rounds=lay.cycles,
            bleed=lay.bleed_m,
            loss=lay.mixing_loss,
        ),
        supplied=part.resin_supplied,
    )


def _labour(part: Laminate, lay: LayUp, shop: Shop, pick: Pick) -> Iterator[Need]:
    """Labour of the rounds, each kind its own line."""
    who = shop.standard[laying_standard(part)].who
    said = basis(
        "{plies:number} plies in {rounds:number} rounds of at most {per_round:number}, {each:time} a ply in the first;"
        " every doubling of rounds takes {learning:share} of the time",
        plies=lay.plies,
        rounds=lay.cycles,
        per_round=np.minimum(lay.per_round, lay.plies),
        each=lay.time_per_ply_h,
        learning=lay.learning,
    )
    yield hours_need("laminate", part, "laying", lay.laying_h, said, who, operation=laying_standard(part))
    for name in ("bag_setup", "close_bag", "debag_time", "clean_up"):
        each = pick(first(getattr(part, name), getattr(LAMINATES.of(shop), name)))
        said = basis("{rounds:number} rounds x {each:time}", rounds=lay.cycles, each=each)
        yield hours_need("laminate", part, name.replace("_", "-"), lay.cycles * each, said, who)
    own = part.standard.get("mixing") is not None
    each = picked(pick, own_time("mixing", part, shop))
    mixes = batches(lay=lay)
    words = OWN_TIME if own else "{mixes:number} mixes of at most {most:volume} x {each:time}"
    said = basis(words, mixes=mixes, most=lay.resin.most_in_one_mix, each=each)
    hours, who = each if own else mixes * each, shop.standard["mixing"].who
    yield hours_need("laminate", part, "mixing", hours, said, who, operation="mixing")


def _flattening(part: Laminate, area_m2: float, shop: Shop, pick: Pick) -> Iterator[Need]:
    """Machine and labour hours of each flattening of a panel: set-up is attended throughout."""
    for number, row in enumerate(part.flatten, start=1):
        name = f"flatten-{number}"
        running, words = _running(row, area_m2, pick)
        hours = running + row.setup
        if row.machine:
            yield part_need(
                "laminate", part, f"{name}-machine", {"time": hours}, words, "machine", item=row.machine
            )
            share = attended_share(row.attended, shop.machine[row.machine], pick)
            hours = running * share + row.setup
            attended = "attended {share:share} of {running:time} + set-up {setup:time}"
            words = basis(attended, share=share, running=running, setup=row.setup)
        yield hours_need("laminate", part, name, hours, words, row.who or "owner")


def _running(row: Flatten, area_m2: float, pick: Pick) -> tuple[Num, Basis]:
    """Time of the passes [h], without set-up, and how the whole time was reached."""
    if row.hours is not None:
        hours = pick(row.hours)
        return hours, basis(
            "{hours:time} as the job says + set-up {setup:time}", hours=hours, setup=row.setup
        )
    words = "{area:area} / ({stepover:length} x {feed:feed}) x {passes:number} passes + set-up {setup:time}"
    stepover, feed = row.stepover or 0.0, row.feed or 0.0
    return (
        surfacing_h(area_m2=area_m2, stepover_m=stepover, feed_m_per_h=feed, passes=row.passes),
        basis(words, area=area_m2, stepover=stepover, feed=feed, passes=row.passes, setup=row.setup),
    )
