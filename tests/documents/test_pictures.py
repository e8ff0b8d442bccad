"""Pictures: colours that anyone can tell apart, bars as long as their figures, words that stand clear of one another."""

from __future__ import annotations

import io
import itertools
from decimal import Decimal
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image
from sharing import DAY

from quoting.documents.paper.text import BOLD, REGULAR, width
from quoting.documents.pictures import marks
from quoting.documents.pictures.build import TINTS, days_picture, section_picture
from quoting.documents.pictures.marks import BAR, Box, Row, Span, Words, apart, bars, scale_of
from quoting.documents.pictures.price import cost_picture, price_picture
from quoting.documents.pictures.writers import png_bytes, svg_bytes
from quoting.job.starters import shipped
from quoting.runs.pictures import figures
from quoting.runs.pricing import check, priced_alone

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from quoting.documents.pictures.marks import Figure
    from quoting.pricing.record import Priced

JOBS = sorted(path for path in shipped("sample_jobs").glob("*/jobs/*.toml"))  # type: ignore[attr-defined]
CONSOLE, SCREEN = (
    next(job for job in JOBS if job.stem == name) for name in ("library_console", "flax_screen")
)

SEEN = {
    "by all": np.eye(3),
    "without red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "without green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "without blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip
"""How linear RGB is seen (Machado, Oliveira, Fernandes 2009, severity 1.0; from memory: every row sums to 1)."""

TOLD_APART = 15.0
"""Difference of lightness L* (CIE 1976, 0 to 100) that is plain in grey print (common practice, no source)."""


def linear(colour: str) -> NDArray[np.float64]:
    """Linear RGB of "#rrggbb" (IEC 61966-2-1)."""
    share = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def lightness(seen: NDArray[np.float64]) -> float:
    """L* of linear RGB (CIE 1976; luminance by IEC 61966-2-1)."""
    luminance = float(np.clip(seen, 0, 1) @ np.array([0.2126, 0.7152, 0.0722]))
    return 116 * luminance ** (1 / 3) - 16 if luminance > 0.008856 else 903.3 * luminance


@pytest.mark.parametrize("eye", SEEN)
def test_colours_stay_apart(eye: str) -> None:
    """Every two colours of data, and of plies, and of paper differ in lightness alone, for every kind of eye."""
    np.testing.assert_allclose(SEEN[eye].sum(axis=1), 1.0, atol=2e-6)
    for group in ((marks.PLANNED, marks.SOLID, marks.AGAINST), TINTS, (marks.SOLID, marks.PAPER)):
        for one, other in itertools.combinations(group, 2):
            there = [lightness(SEEN[eye] @ linear(colour)) for colour in (one, other)]
            assert abs(there[0] - there[1]) > TOLD_APART, (one, other, there)


def test_lightness_is_that_of_the_standard() -> None:
    """White is 100, black 0, and grey of 18 % near 50 (CIE 1976)."""
    assert [round(lightness(np.full(3, share)), 1) for share in (1.0, 0.0, 0.184187)] == [100.0, 0.0, 50.0]


@pytest.fixture(scope="module")
def drawn() -> dict[str, list[Figure]]:
    """Every picture of every sample, and of samples with long and odd names."""
    long = "a name that goes on and on, with <b>marks</b> & signs, 名前, =1+1 " * 3
    odd = [f'piece.title="{long}"']
    found = {job.stem: _figures(job) for job in JOBS}
    return found | {f"{job.stem} odd": _figures(job, *odd) for job in (CONSOLE, SCREEN)}


def _figures(job: Path, *settings: str) -> list[Figure]:
    checked = check(job, None, DAY, settings)
    return [figure for _, figure in figures(checked, priced_alone(checked), print)]


def boxes(figure: Figure) -> Iterator[tuple[str, float, float, float, float]]:
    for mark in figure.marks:
        if isinstance(mark, Words) and mark.text.strip():
            wide = width(mark.text, BOLD if mark.bold else REGULAR, mark.size)
            left = mark.x - {"start": 0.0, "middle": wide / 2, "end": wide}[mark.anchor]
            yield mark.text, left, mark.y - mark.size * 0.72, left + wide, mark.y


def test_no_words_leave_the_picture_or_cross(drawn: dict[str, list[Figure]]) -> None:
    """Words lie on the picture, and no two of them on one another."""
    assert sum(map(len, drawn.values())) > 30
    for job, pictures in drawn.items():
        for figure in pictures:
            texts = list(boxes(figure))
            assert texts
            for name, left, top, right, foot in texts:
                assert left >= -0.5, (job, figure.title, name)
                assert right <= figure.width + 0.5, (job, figure.title, name)
                assert top >= -0.5, (job, figure.title, name)
                assert foot <= figure.height + 0.5, (job, figure.title, name)
            for one, other in itertools.combinations(texts, 2):
                across = min(one[3], other[3]) - max(one[1], other[1])
                down = min(one[4], other[4]) - max(one[2], other[2])
                assert across < 0.5 or down < 0.5, (job, figure.title, one[0], other[0])


def test_pictures_are_told_in_words_and_keep_their_text(drawn: dict[str, list[Figure]]) -> None:
    """An SVG has a title and a description, and its text is text; a PNG is three pixels a point."""
    for pictures in drawn.values():
        for figure in pictures:
            root = ElementTree.fromstring(svg_bytes(figure))
            space = "{http://www.w3.org/2000/svg}"
            assert root.findtext(f"{space}title") == figure.title
            assert root.findtext(f"{space}desc") == figure.words != ""
            assert [one.text for one in root.iter(f"{space}text")] == [
                mark.text for mark in figure.marks if isinstance(mark, Words)
            ]
    figure = drawn["flax_screen"][0]
    with Image.open(io.BytesIO(png_bytes(figure))) as image:
        assert image.size == (round(figure.width * 3), round(figure.height * 3))


@pytest.fixture(scope="module")
def console() -> Priced:
    return priced_alone(check(CONSOLE, None, DAY))


def amounts(figure: Figure) -> list[Decimal]:
    """Amounts at the right of the rows, in dollars."""
    texts = [mark.text for mark in figure.marks if isinstance(mark, Words) and "$" in mark.text]
    return [Decimal(one.split("$")[1].split(", ")[0].replace(",", "")) for one in texts]


def test_groups_of_cost_sum_to_the_cost_with_reserve(console: Priced) -> None:
    """The amounts beside the bars foot to the one in the title, and bars are as long as their amounts."""
    whole, *parts = amounts(cost_picture(console))
    assert sum(parts) == whole == console.chain.with_reserve
    long = [mark.width for mark in cost_picture(console).marks if isinstance(mark, Box)]
    for bar, amount in zip(long, parts, strict=True):
        assert bar == pytest.approx(long[0] * float(amount / parts[0]), abs=0.4)


def test_steps_of_the_price_foot(console: Priced) -> None:
    """Cost, reserve, trip, fees and margin make the net price; with tax, what the client pays."""
    *steps, net, tax, total = amounts(price_picture(console))
    assert sum(steps) == net == console.chain.net
    assert net + tax == total == console.chain.total


def test_the_section_is_as_high_as_its_rounds() -> None:
    """Plies fill the panel from the table to the last cured height; the hatch is what flattening takes, to scale."""
    priced = priced_alone(check(SCREEN, None, DAY))
    (card,) = priced.bench
    figure = section_picture(card, priced)
    plies = [
        mark for mark in figure.marks if isinstance(mark, Box) and mark.colour in TINTS and mark.width > 10
    ]
    top, foot = min(one.y for one in plies), max(one.y + one.height for one in plies)
    per_m = (foot - top) / max(one.height_m for one in card.rounds)
    for one, box in zip(card.rounds, plies, strict=True):
        count = sum(count for _, count in one.plies)
        each = card.rounds[0].height_m / sum(count for _, count in card.rounds[0].plies)
        assert box.height == pytest.approx(count * each * per_m, rel=1e-3)
    [taken] = [mark for mark in figure.marks if isinstance(mark, Box) and mark.colour == marks.PAPER]
    assert taken.height == pytest.approx(card.rounds[-1].removed_m * per_m)


def test_cure_is_drawn_as_long_as_it_takes(console: Priced) -> None:
    """A coat that takes a day and cures twelve hours is dark for half of it, on the scale of the whole calendar."""
    steps = [one for one in console.calendar if one.kind == "round"]
    figure = days_picture(console)
    rows = [mark for mark in figure.marks if isinstance(mark, Box)]
    lead = next(one for one in console.calendar if one.kind == "lead")
    per_day = rows[0].width / (lead.ends_d - lead.starts_d)
    for step in steps:
        start = rows[0].x + (step.starts_d - lead.starts_d) * per_day
        whole = next(one for one in rows if one.colour == marks.PLANNED and one.x == pytest.approx(start))
        dark = next(
            one
            for one in rows
            if one.colour == marks.SOLID and one.x == pytest.approx(start) and one.y == whole.y
        )
        assert whole.width == pytest.approx((step.ends_d - step.starts_d) * per_day)
        assert whole.width - dark.width == pytest.approx(step.hours / 24 * per_day)


def test_rows_share_one_scale() -> None:
    """Bars of one picture are as long as their values; those that end in one another begin where it ends."""
    rows = [Row("one", (Span(0, 10, "#000000"),)), Row("two", (Span(10, 4, "#000000", 0.5),))]
    on = scale_of(rows, 0.0, 20.0)
    first, second = (mark for mark in bars(rows, on, 0.0) if isinstance(mark, Box))
    assert first.width == pytest.approx(on.x(10) - on.x(0))
    assert second.width == pytest.approx(first.width * 0.6)
    assert second.x + second.width == pytest.approx(first.x + first.width)
    assert second.height == BAR / 2


def test_lines_of_words_stand_apart() -> None:
    """Those with room stay where they are wanted."""
    assert apart([10.0, 11.0, 40.0], 9.0, 0.0) == [10.0, 19.0, 40.0]
