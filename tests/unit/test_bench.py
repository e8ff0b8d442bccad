"""The cards of the bench sum to the lines of the price, and mix by the shop's ratio alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from quoting.costing.model import cost
from quoting.inputs.load import load
from quoting.inputs.shipped import shipped
from quoting.pick import likely
from quoting.pricing.bench import laminate_cards, mix

JOBS = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs"


@pytest.mark.parametrize("job", ["flax_screen", "library_console"])
def test_rounds_sum_to_the_lines(job: str) -> None:
    brief = load(JOBS / f"{job}.toml")
    needed = cost(brief, likely).needed
    cards = list(laminate_cards(brief))
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


def test_ten_litres_split_by_volume_and_no_ratio_is_invented() -> None:
    """Two to one by volume: 6.6667 L and 3.3333 L of ten ("ten litres" of published/mix_ratio.csv)."""
    resin = load(JOBS / "flax_screen.toml").shop.resin["laminating epoxy"]
    plain = replace(resin, ratio_by_volume=(2, 1), ratio_by_mass=None, most_in_one_mix=0.01)
    made = mix(0.01, plain)
    assert made.batches == 1
    assert made.by_volume_m3 == pytest.approx((0.0066667, 0.0033333), abs=1e-7)
    assert made.by_mass_kg is None
