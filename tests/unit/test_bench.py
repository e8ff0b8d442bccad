"""The cards of the bench sum to the lines of the price, and mix by the shop's ratio alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from quoting.costing.model import cost
from quoting.job.load import load
from quoting.job.starters import shipped
from quoting.pick import likely
from quoting.pricing.bench import pour_cards, pressed_cards
from quoting.takeoff.mixing import mix
from quoting.trades.laminate import LAMINATE
from quoting.trades.laminate.bagging import ply_order
from quoting.trades.laminate.plies import plies_of_item

JOBS = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs"


@pytest.mark.parametrize("job", ["flax_screen", "library_console"])
def test_rounds_sum_to_the_lines(job: str) -> None:
    brief = load(JOBS / f"{job}.toml")
    needed = cost(brief, likely).needed
    cards = list(pressed_cards(brief))
    assert cards
    for card in cards:
        own = {
            n.id.rpartition(".")[2]: n
            for n in needed.needs
            if n.id.startswith("laminate.") and n.part == card.part
        }
        resin = sum(one.mix.batches * one.mix.volume_m3 for one in card.rounds)
        assert resin == pytest.approx(float(own["resin"].amounts["volume"]), rel=1e-12)
        film = sum(long * wide for one in card.rounds for long, wide in one.films_m)
        assert film == pytest.approx(float(own["film"].amounts["area"]), rel=1e-12)
        laying = sum(one.laying_h for one in card.rounds)
        assert laying == pytest.approx(float(own["laying"].amounts["time"]), rel=1e-12)
        plies = sum(count for one in card.rounds for _, count in one.plies)
        assert plies == needed.facts["laminate_plies"]
        part = next(one for one in LAMINATE.of(brief.job) if one.part == card.part)
        for position, item in enumerate(part.ply):
            laid = sum(count for one in card.rounds for name, count in one.plies if name == item)
            assert laid == plies_of_item(
                plies=plies, block=part.block, position=position, items=len(part.ply)
            )


def test_ten_litres_split_by_volume_and_no_ratio_is_invented() -> None:
    """Two to one by volume: 6.6667 L and 3.3333 L of ten ("ten litres" of published/mix_ratio.csv)."""
    resin = load(JOBS / "flax_screen.toml").shop.resin["laminating epoxy"]
    plain = replace(resin, ratio_by_volume=(2, 1), ratio_by_mass=None, most_in_one_mix=0.01)
    made = mix(0.01, plain)
    assert made.batches == 1
    assert made.by_volume_m3 == pytest.approx((0.0066667, 0.0033333), abs=1e-7)
    assert made.by_mass_kg is None


def test_blocks_are_laid_in_turn_across_rounds() -> None:
    """A round that ends within a block leaves the rest of it to the next."""
    assert list(ply_order(("a", "b"), 2, 0, 5)) == [("a", 2), ("b", 2), ("a", 1)]
    assert list(ply_order(("a", "b"), 2, 5, 9)) == [("a", 1), ("b", 2), ("a", 1)]
    assert list(ply_order(("a", "b", "c"), 1, 1, 4)) == [("b", 1), ("c", 1), ("a", 1)]


def test_the_air_above_the_shop_limits_the_vacuum() -> None:
    """2200 ft is 670.56 m, between 600 m with 943.22 hPa and 700 m with 931.94 hPa (ISO 2533, from memory)."""
    (card,) = pressed_cards(load(JOBS / "flax_screen.toml"))
    assert card.most_vacuum_pa == pytest.approx(94_322 - 0.7056 * (94_322 - 93_194), abs=10)  # a chord
    assert card.vacuum_pa == pytest.approx(23 * 3386.389, rel=1e-6)
    for one in card.rounds:
        assert one.clock_share == pytest.approx(one.clock_h / 2)
        assert one.clock_h <= card.latest_h == pytest.approx(0.8 * card.working_h)
    last = card.rounds[-1]
    assert last.flat_m == pytest.approx(last.height_m - 0.0008)
    assert last.flat_m >= 0.0127


def test_tape_and_counted_things_sum_to_the_lines() -> None:
    brief = load(JOBS / "flax_screen.toml")
    (card,) = pressed_cards(brief)
    own = {n.id.rpartition(".")[2]: n for n in cost(brief, likely).needed.needs}
    assert len(card.rounds) * card.tape_m == pytest.approx(float(own["tape"].amounts["length"]), rel=1e-12)
    assert dict(card.counted)["nitrile gloves"] * len(card.rounds) == float(
        own["cycle-nitrile-gloves"].amounts["count"]
    )


def test_pours_and_coats_sum_to_the_lines() -> None:
    """Two coats of 24 h, one pour of 3/4 in; each batch no more than the data sheet's."""
    brief = load(JOBS / "library_console.toml")
    needs = {n.id: n for n in cost(brief, likely).needed.needs}
    inlay, flood = pour_cards(brief)
    for card in (inlay, flood):
        mixed = card.steps * card.mix.batches * card.mix.volume_m3
        assert mixed == pytest.approx(float(needs[f"{card.path}.resin"].amounts["volume"]), rel=1e-12)
        assert card.mix.volume_m3 <= brief.shop.resin[card.resin].most_in_one_mix
    assert (inlay.steps, inlay.depth_m, inlay.cure_h) == (1, pytest.approx(0.01905), 48)
    assert (flood.steps, flood.depth_m, flood.cure_h) == (2, pytest.approx(0.0015875), 24)
