"""What the maker's sheet says in other units, of doubtful vacuum, and of letters its font lacks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from documents.sheets import JOBS, SAMPLES, assert_well_set, priced_of, sample, text_of
from sharing import DAY

from quoting import runs
from quoting.documents.bench.sheet import maker_sheet_bytes
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink, glyphs
from quoting.takeoff.mixing import Mix

if TYPE_CHECKING:
    from pathlib import Path


def text_for(job: str, units: str = "inch", locale: str = "en_US") -> MakerText:
    priced = sample(job)
    house = replace(priced.shop.shop, units=units, locale=locale)
    return MakerText(replace(priced, shop=replace(priced.shop, shop=house)), Ink(glyphs()))


def test_the_same_screen_in_metres_and_kilopascals(tmp_path: Path) -> None:
    """Films up to the next 10 mm, tape to 0.1 m, heights to 0.01 mm, the vacuum in kPa, euros."""
    job = JOBS["flax_screen"].read_text(encoding="utf-8")
    priced = priced_of(
        tmp_path, job, "shop.units=metric", "shop.currency=EUR", "shop.locale=fr_FR", "shop.paper=A4"
    )
    data, _ = maker_sheet_bytes(priced)
    assert_well_set(data)
    text = text_of(data)
    for words in ("vacuum 77,9 kPa (air here: 93,5 kPa)", "target 4,45 mm cured", "temp °C", "tape 6,6 m", "€", "Mass 19,3 kg",
                  "peel ply 1680 × 820 mm", "1574,8 × 711,2 × 12,7 mm"):  # fmt: skip
        assert words in text
    assert "inHg" not in text


def test_a_vacuum_that_no_pump_reaches_is_a_caution(tmp_path: Path) -> None:
    """29 inHg at 2200 ft: the bench is told before the bag is closed. Old prices and margins are not its business."""
    job = JOBS["flax_screen"].read_text(encoding="utf-8").replace('"23 inHg"', '"29 inHg"')
    priced = priced_of(tmp_path, job, "pricing.stale_after=1 weeks")
    assert {"vacuum", "stale_price"} <= {one.code for one in priced.warnings}
    text = text_of(maker_sheet_bytes(priced)[0])
    assert "Check: a vacuum of 29 inHg is more than the 27.6 inHg of air" in text
    assert text.count("Check:") == 1
    assert "(old price: ask again)" in text


def test_letters_the_font_lacks_are_warned_of_once_by_the_command(tmp_path: Path) -> None:
    """A part named in kanji is a gap on both papers; each field is told once."""
    job = (SAMPLES / "tern_hollow" / "jobs" / "ash_bench.toml").read_text(encoding="utf-8")
    job = job.replace('"Ash hall bench"', '"Ash bench 椅子"').replace('part = "shelf"', 'part = "棚"')
    priced = priced_of(tmp_path, job)
    data, warned = maker_sheet_bytes(priced)
    assert {one.field: "椅" in one.words or "棚" in one.words for one in warned} == {
        "piece.title": True,
        "part": True,
    }
    assert "Ash bench □□" in text_of(data)
    path = tmp_path / "tern_hollow" / "jobs" / "own.toml"
    result, _ = runs.quote(path, None, DAY, (), tmp_path / "out", False, False, lambda _: None)
    fields = [one.field for one in result.warnings if one.code == "missing_glyph"]
    assert len(fields) == len(set(fields))
    assert {"piece.title", "part"} <= set(fields)


@pytest.mark.parametrize(
    ("plies", "said"),
    [
        ([("a", 8)], "8 a"),
        ([("a", 2), ("b", 2)] * 4, "4 × (2 a + 2 b)"),
        ([("b", 1), ("a", 2), ("b", 2)], "1 b + 2 a + 2 b"),
        ([("a", 2), ("b", 2), ("a", 2)], "2 a + 2 b + 2 a"),
    ],
)
def test_a_pattern_that_repeats_is_told_once(plies: list[tuple[str, int]], said: str) -> None:
    assert text_for("flax_screen").laid(plies) == said


@pytest.mark.parametrize(
    ("mix", "said"),
    [
        (Mix(2, 1e-4, 0.11, None, None), "2 × 100 mL, 110 g; ratio by the data sheet"),
        (Mix(1, 1e-4, 0.11, (2e-4 / 3, 1e-4 / 3), None), "1 × 100 mL (67 + 33; in all 110 g)"),
        (
            Mix(1, 3e-5, 0.033, (2e-5, 1e-5), (0.0228, 0.0102)),
            "1 × 30.0 mL (20.0 + 10.0) or 33.0 g (22.8 + 10.2)",
        ),
    ],
)
def test_a_mix_splits_only_by_a_ratio_it_has(mix: Mix, said: str) -> None:
    """Small batches to a tenth; printed parts sum to the printed whole."""
    assert text_for("flax_screen").mix(mix).replace("\u00a0", " ") == said


def test_quantities_and_blanks_are_rounded_up() -> None:
    """Never a board, a film or a litre too little; what is whole stays so."""
    inch, metric = text_for("flax_screen"), text_for("flax_screen", "metric", "de_DE")
    plain = {"\u00a0": " "}
    for said, wanted in (
        (inch.at_least(12.1601, "bd ft"), "12.2 bd ft"), (inch.at_least(0.00108, "m3"), "0.00108 m3"),
        (inch.at_least(24, "each"), "24"), (inch.at_least(1000.5, "g"), "1010 g"), (inch.at_least(0, "L"), "0 L"),
        (inch.rough((0.3048 + 1e-5,)), "12 1/16 in"), (inch.rough((0.3048,)), "12 in"), (metric.rough((0.3048,)), "305 mm"),
        (inch.to_cut((1.0, 0.5)), "39 1/2 × 20 in"), (metric.to_cut((1.001, 0.5)), "1010 × 500 mm"),
        (inch.sizes((0.010, 0.0381)), "0.394 × 1 1/2 in"), (metric.sizes((0.0105,)), "10,5 mm"),
        (inch.run(6.594), "22 ft"), (metric.run(6.51), "6,6 m"), (metric.height(0.00445), "4,45 mm"),
    ):  # fmt: skip
        assert said.translate(str.maketrans(plain)) == wanted
