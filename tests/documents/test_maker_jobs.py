"""Maker's sheets of other jobs: large ones, hostile texts, other bags, rounds that are given, missing parts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from documents.sheets import assert_well_set, pages_of, priced_of, sample, text_of, ticks

from quoting.documents.bench.sheet import maker_sheet_bytes

if TYPE_CHECKING:
    from pathlib import Path

HEAD = 'format = 1\n[piece]\ntitle = "Panels"\n[quote]\ndate = 2027-02-01\n'
PANEL = """
[[laminate]]
part = "panel {number}"
length = "30 in"
width = "14 in"
thickness = "{thickness}"
ply = {ply}
ply_mass = "300 g/m2"
fibre = "flax"
ply_thickness = "0.5 .. 0.55 .. 0.65 mm"
roll_width = "50 in"
resin = "laminating epoxy"
time_per_ply = "4 min"
{more}
"""
LISTED = '["flax cloth 300", "indigo flax cloth 300"]'


def panel(number: int = 1, thickness: str = "1/2 in", ply: str = '"flax cloth 300"', more: str = "") -> str:
    return PANEL.format(number=number, thickness=thickness, ply=ply, more=more)


def test_three_laminates_run_on_and_lose_nothing(tmp_path: Path) -> None:
    """Three thick panels need more than one page: each is numbered, and every round, box and caution is there."""
    job = HEAD + "".join(panel(number, "1 1/2 in", LISTED, "block = 3") for number in (1, 2, 3))
    priced = priced_of(tmp_path, job)
    data, warned = maker_sheet_bytes(priced)
    assert warned == ()
    assert_well_set(data)
    pages, text = pages_of(data), text_of(data)
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page.extract_text()
    rounds = sum(len(card.rounds) for card in priced.bench)
    assert text.count("middle") - 3 == text.count("Round ") == rounds > 9
    assert text.count("when cured: the four corners and the middle") == 3
    for number in (1, 2, 3):
        assert f"Round 2 of 5 panel {number}: Tue, Feb 23, day 22" in text
        assert f"Laminate card: panel {number}" in text
    assert "3 flax cloth 300 + 3 indigo flax cloth 300" in text
    assert sum(len(ticks(page)) for page in pages) == len(priced.buying)
    for name, caution in priced.cautions:
        assert name == "resin_heat" or " ".join(caution.split()) in text  # its mixes stand on the cards


def test_rounds_that_are_given_and_an_early_flattening(tmp_path: Path) -> None:
    """Four plies a round, flattened after the second: its target is told before and after, and the next is lower."""
    more = 'plies_per_round = 4\n[[laminate.flatten]]\nafter = 2\nremoves = "1 mm"\nhours = "1 h"\nmachine = "wide belt sander"'
    priced = priced_of(tmp_path, HEAD + panel(thickness="6 mm", more=more))
    (card,) = priced.bench
    assert [dict(one.plies)["flax cloth 300"] for one in card.rounds] == [4, 4, 4, 1]
    assert [one.removed_m for one in card.rounds] == [0, pytest.approx(0.001), 0, 0]
    assert card.rounds[2].height_m == pytest.approx(12 * 0.00055 - 0.001)
    text = text_of(maker_sheet_bytes(priced)[0])
    assert "target 0.173 in cured, 0.134 in flattened." in text
    assert "target 0.220 in cured." in text
    assert text.count("flattened") == 1


def test_a_reusable_bag_has_neither_film_nor_tape(tmp_path: Path) -> None:
    text = text_of(maker_sheet_bytes(priced_of(tmp_path, HEAD + panel(more='bag = "reusable"')))[0])
    assert "reusable bag" in text
    assert "Target 0.520 in cured" in text
    assert "Film" not in text
    assert "tape" not in text


def test_a_panel_of_several_pieces_says_for_how_many(tmp_path: Path) -> None:
    """Without a vacuum of its own the air's limit stands alone."""
    job = HEAD.replace("[piece]\n", "[piece]\nquantity = 2\n") + panel()
    text = text_of(maker_sheet_bytes(priced_of(tmp_path, job))[0])
    assert "Laminate card: panel 1, for each of 2" in text
    assert "2 panel 1 30 × 14 × 1/2 in" in text
    assert "Panels, 2 pieces" in text
    assert "vacuum 27.6 inHg." in text


def test_a_promised_day_is_held_against_the_calendar(tmp_path: Path) -> None:
    """21 days are booked; two coats of a day each follow an hour or so at the bench."""
    for day, said in (("2027-02-02", "d TOO LATE"), ("2028-02-01", "d to spare")):
        priced = priced_of(tmp_path, HEAD + f"ready_by = {day}\n" + panel())
        text = text_of(maker_sheet_bytes(priced)[0])
        assert "due February" in text
        assert said in text


def test_a_job_of_nothing_is_a_sheet_all_the_same(tmp_path: Path) -> None:
    data, _ = maker_sheet_bytes(priced_of(tmp_path, HEAD))
    text = text_of(data)
    assert_well_set(data)
    for words in ("Take-off", "Buying", "Laminate", "Cautions"):
        assert words not in text
    assert "Calendar" in text


HOSTILE = {
    "markup": '<b>x</b> &amp; <font size=40>big</font> <br/> </para> <img src="/etc/passwd"/>',
    "formula": '=HYPERLINK("http://x","y")',
    "many": "a word and " * 150,
    "control": "bell\x07 null\x00 tab\t cr\r end\u202e turned",
    "braces": "{0} {slot} %s %d",
}
SEEN = {"control": "bell□ null□ tab cr□ end turned", "markup": "<b>x</b> &amp; <font size=40>"}


LONG = {"long": "W" * 1_500, "longest": "W" * 10_000}


@pytest.mark.parametrize("kind", [*HOSTILE, "long", pytest.param("longest", marks=pytest.mark.exhaustive)])
def test_hostile_texts_are_printed_and_nothing_more(kind: str) -> None:
    """In every place where a maker's word may stand; a control sign becomes a gap that is warned of."""
    bad = {**HOSTILE, **LONG}[kind]
    priced = sample("library_console")
    spoilt = replace(
        priced,
        job=replace(priced.job, piece=replace(priced.job.piece, title=bad), client=replace(priced.job.client, name=bad)),
        lines=(priced.lines[0]._replace(item=bad, part=bad), *priced.lines[1:]),
        buying=tuple(line._replace(item=bad, supplier=bad) for line in priced.buying[:1]),
        cuts=tuple(cut._replace(part=bad) for cut in priced.cuts[:1]),
        bench=tuple(card._replace(part=bad, resin=bad, counted=((bad, 1.0),)) for card in priced.bench),
        pours=tuple(card._replace(part=bad, resin=bad) for card in priced.pours[:1]),
        calendar=tuple(step._replace(what=bad) if step.kind == "lead" else step for step in priced.calendar),
        cautions=(("resin", bad),),
    )  # fmt: skip
    data, warned = maker_sheet_bytes(spoilt)
    assert_well_set(data)
    assert {one.code for one in warned} <= {"missing_glyph"}
    fields = {one.field for one in warned}
    assert fields == (
        {"piece.title", "client.name", "part", "item", "supplier", "caution"} if kind == "control" else set()
    )
    pages = pages_of(data)
    assert len(pages) == 1 or kind in (*LONG, "many", "markup")
    if kind in LONG:
        drawn = sum(char["text"] == "W" for page in pages for char in page.chars)
        assert drawn > len(bad) * 11
    else:
        assert SEEN.get(kind, " ".join(bad.split())[:60]) in text_of(data)
