"""The maker's sheet on paper: one page for the samples, marked, every round, box and blank in its place."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest
from documents.sheets import JOBS, MM, assert_well_set, pages_of, sample, text_of, ticks

from quoting.documents.bench.sheet import maker_sheet_bytes

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


def sheet_of(priced: Priced) -> bytes:
    data, warned = maker_sheet_bytes(priced)
    assert warned == ()
    return data


@pytest.mark.parametrize("job", JOBS)
def test_a_sample_fits_one_page(job: str) -> None:
    priced = sample(job)
    data = sheet_of(priced)
    assert data == sheet_of(priced)
    (page,) = pages_of(data)
    assert_well_set(data)
    boxes = ticks(page)
    assert len(boxes) == len(priced.buying)
    assert {round(box["width"] / MM, 1) for box in boxes} < {3.0, 3.3, 3.6, 4.0}
    assert "page 1 of 1" in page.extract_text()


@pytest.mark.parametrize("job", JOBS)
def test_everything_of_a_sample_is_there(job: str) -> None:
    priced = sample(job)
    text = text_of(sheet_of(priced))
    for line in priced.buying:
        assert line.item.removesuffix(f", {line.supplier}") in text
        assert f"{line.supplier}:" in text
    for cut in priced.cuts:
        assert cut.part in text
    for name, caution in priced.cautions:
        assert (
            name == "resin_heat" or caution.split(":")[0] in text
        )  # its mixes and depths stand on the cards
    steps = [one for card in priced.bench for one in card.rounds]
    words = Counter(text.split())
    assert words["corner"] == 4 * len(steps)
    assert words["middle"] == len(steps)
    assert words["+10"] == len(steps)
    assert text.count("resin left") == len(steps) + sum(card.steps for card in priced.pours)
    assert text.count("temp °F") + text.count("temp °C") == text.count("resin left")
    assert ("Laminate card" in text) == bool(steps)
    assert ("Flood coats" in text) == any(card.trade == "coating" for card in priced.pours)


def test_a_round_is_told_whole() -> None:
    """The flax screen's first and last rounds, in the figures of the price; the altitude's limit beside the vacuum."""
    text = text_of(sheet_of(sample("flax_screen")))
    for words in (
        "Round 1 of 4 Mon, Feb 22, day 21", "Lay 8 flax cloth 300.", "Mix 4 × 1224 mL (816 + 408) or 1346 g (928 + 418).",
        "Close by 89 min, latest 96 min (74 % of 120 min).", "Film 2 of 80 1/2 × 46 1/2 in; target 0.175 in cured.",
        "Round 4 of 4 Thu, Feb 25, day 24", "Lay 1 flax cloth 300.", "target 0.548 in cured, 0.516 in flattened.",
        "vacuum 23 inHg (air here: 27.6 inHg)", "cure 12 h", "tape 22 ft", "4 nitrile gloves", "peel ply 66 × 32 in",
        "leaf: 4 rounds, cure 12 h", "Mass 42.7 lb.", "lifting aid",
    ):  # fmt: skip
        assert words in text


def test_listed_plies_are_told_in_order_and_pours_by_the_batch() -> None:
    text = text_of(sheet_of(sample("library_console")))
    for words in (
        "Lay 4 × (2 flax cloth 300 + 2 indigo flax cloth 300).", "Lay 2 flax cloth 300 + 2 indigo flax cloth 300.",
        "Each pour casting resin 1 × 1935 mL (1290 + 645; in all 2091 g); 3/4 in deep (most 1 1/2 in); use within 180 min; cure 48 h.",
        "Each coat coating resin 1 × 180 mL (90 + 90; in all 201 g); 1/16 in deep (most 1/8 in); use within 40 min; cure 24 h.",
        "Coat 2 of 2", "4 leg 32 3/4 × 1 3/4 × 1 3/4 in, from 34 3/4 × 2 1/8 × 2 in, walnut 8/4 4.93 bd ft",
        "1 shelf 50 × 10 × 0.394 in", "8 feet: felt pads", "4 drawer runner", "2 × 1.5 L (2.55)",
    ):  # fmt: skip
        assert words in text


def test_a_shop_abroad_reads_its_own_figures() -> None:
    """Millimetres, decimal commas, euros, A4, dates day first; no laminate, so no card and no word of it."""
    data = sheet_of(sample("oak_stool"))
    text = text_of(data)
    for words in (
        "340 × 340 × 26 mm",
        "0,0109 m3",
        "1 × 0,75 L",
        "47,53 €",
        "Mon 8 Feb",
        "Mass 3,18 kg each.",
    ):
        assert words in text
    for words in ("Laminate", "Casting", "Flood", "Round", "vacuum", "corner"):
        assert words not in text
    assert (round(pages_of(data)[0].width), round(pages_of(data)[0].height)) == (595, 842)
