"""How hot resin may get is told by what a job mixes and pours."""

from __future__ import annotations

from pathlib import Path

import pytest
from sharing import DAY

from quoting.job.load import load
from quoting.job.starters import shipped
from quoting.pricing.warnings import batches
from quoting.runs.pricing import check, priced_alone

CONSOLE = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs" / "library_console.toml"


def test_the_largest_batch_and_the_deepest_pour_of_each_resin() -> None:
    """Of a laminate its largest round, of a casting one pour in equal mixes none larger than the data sheet allows."""
    brief = load(CONSOLE)
    priced = priced_alone(check(CONSOLE, None, DAY))
    found = {one.resin: one for one in batches(brief)}
    rounds = [one.mix.volume_m3 for card in priced.bench for one in card.rounds]
    pour = next(card for card in priced.pours if card.trade == "casting")
    assert found["laminating epoxy"].volume_m3 == max(rounds)
    assert found[pour.resin].volume_m3 == pour.mix.volume_m3
    assert found[pour.resin].depth_m == pytest.approx(0.01905)  # 3/4 in


def test_a_pour_lies_together_and_may_be_deeper_than_told(tmp_path: Path) -> None:
    """A casting of 12 L by its volume, and coats of the same resin: all of it lies in one form, as deep as the form is."""
    text = CONSOLE.read_text("utf-8")
    job = tmp_path / "jobs" / "job.toml"
    job.parent.mkdir()
    for name in ("shop.toml", "prices.csv"):
        (tmp_path / name).write_bytes((CONSOLE.parents[1] / name).read_bytes())
    head = text[: text.index("[[hardwood]]")]
    job.write_text(
        head.replace("[price]", "[price]").partition("[[")[0]
        + '[[casting]]\npart = "block"\nvolume = "12 L"\ndepth = "1 in"\nresin = "casting resin"\n'
        + '[[coating]]\npart = "top"\narea = "1 m2"\nthickness = "1/16 in"\nresin = "casting resin"\n',
        "utf-8",
    )
    [found] = batches(load(job))
    pour = next(card for card in priced_alone(check(job, None, DAY)).pours if card.trade == "casting")
    assert found.volume_m3 == pytest.approx(pour.mix.volume_m3 * pour.mix.batches)
    assert found.volume_m3 > load(job).shop.resin["casting resin"].most_in_one_mix
    job.write_text(job.read_text("utf-8").replace('depth = "1 in"\n', ""), "utf-8")
    [found] = batches(load(job))
    told = dict(priced_alone(check(job, None, DAY)).cautions)["resin_heat"]
    assert found.depth_m is None
    assert "a depth that the job does not say" in told


def test_the_bench_is_told_of_its_own_batches() -> None:
    """How much, how deep, and the shop's notes; among the usual cautions of what the job holds."""
    told = dict(priced_alone(check(CONSOLE, None, DAY)).cautions)
    assert "casting resin 1.94 L, 3/4 in deep" in told["resin_heat"]
    assert "laminating epoxy 0.974 L;" in told["resin_heat"]
    assert told["resin.laminating epoxy"] == "laminating epoxy: mix small, spread at once"
    assert {"resin", "vacuum", "dust", "glass", "machine", "lifting", "tip_over"} <= set(told)
