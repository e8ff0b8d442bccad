"""How hot resin may get is told by what a job mixes and pours."""

from __future__ import annotations

from pathlib import Path

import pytest

from quoting.inputs.load import load
from quoting.inputs.shipped import shipped
from quoting.pricing.heat import batches
from quoting.runs.pricing import check, priced_alone

CONSOLE = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs" / "library_console.toml"


def test_the_largest_batch_and_the_deepest_pour_of_each_resin() -> None:
    """Of a laminate its largest round, of a casting one pour in equal mixes none larger than the data sheet allows."""
    brief = load(CONSOLE)
    priced = priced_alone(check(CONSOLE, None, ()))
    found = {one.resin: one for one in batches(brief)}
    rounds = [one.mix.volume_m3 for card in priced.bench for one in card.rounds]
    pour = next(card for card in priced.pours if card.trade == "casting")
    assert found["laminating epoxy"].volume_m3 == max(rounds)
    assert found[pour.resin].volume_m3 == pour.mix.volume_m3
    assert found[pour.resin].depth_m == pytest.approx(0.01905)  # 3/4 in
    for name, batch in found.items():
        assert batch.volume_m3 <= brief.shop.resin[name].most_in_one_mix


def test_the_bench_is_told_of_its_own_batches() -> None:
    """With the shop's note; a deeper pour says so."""
    told = dict(priced_alone(check(CONSOLE, None, ())).cautions)
    assert "the largest batch of this job is" in told["resin.casting resin"]
    assert "poured 3/4 in deep" in told["resin.casting resin"]
    assert "poured" not in told["resin.laminating epoxy"]
    assert "Mix small" in told["resin.laminating epoxy"]
    assert {"resin", "vacuum", "dust", "glass", "machine", "lifting", "tip_over"} <= set(told)
