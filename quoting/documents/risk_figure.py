"""The figure of an outlook: how the cost spreads, and what moves it most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.figure import Box, Figure, Stroke, Words, padded
from quoting.documents.fonts import REGULAR, cut, glyphs, width
from quoting.documents.page import readable
from quoting.documents.quote_text import Ink, QuoteText
from quoting.documents.sheet_names import said_path

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.outlook import Driver, Outlook
    from quoting.pricing.record import Priced

    Mark = Box | Stroke | Words

WIDTH, SPREAD_HEIGHT, TOP = 480.0, 96.0, 34.0
LABELS, BAR, GAP = 205.0, 11.0, 5.0
QUIET, PALE, DEAR, LINE = "#595959", "#c9c9c9", "#b4532a", "#1c1c1c"
MOST_BARS, EDGE = 12, 8.0


def risk_figure(priced: Priced, outlook: Outlook) -> Figure:
    """Spread of the cost with the plan, 8 in 10 builds and what the price leaves for it; below, a bar an input."""
    text = QuoteText(priced, Ink(glyphs()))
    accent = str(readable(priced.shop.shop.accent).hexval()).replace("0x", "#")
    marks: list[Mark] = [Words(0, 10, "What the piece may cost", 9.5, accent, bold=True)]
    marks += _spread(priced, outlook, text, accent)
    top = TOP + SPREAD_HEIGHT + 62
    marks.append(
        Words(0, top, "What moves the cost most, from the low to the high of each", 9.5, accent, bold=True)
    )
    bars = sorted((*outlook.drivers, *outlook.setbacks), key=lambda one: -one.swing)[:MOST_BARS]
    marks += _tornado(bars, outlook, text, accent, top + 12)
    height = top + 12 + max(len(bars), 1) * (BAR + GAP) + 26
    eight = text.about(outlook.cost[2].value)
    words = f"8 in 10 builds cost less than {eight}; the plan is met in {outlook.met.share:.0%} of builds."
    drawn = Figure(
        WIDTH, height, f"How sure the price of {text.ink('title', priced.job.piece.title)} is", words, marks
    )
    return padded(drawn, EDGE)


def _spread(priced: Priced, outlook: Outlook, text: QuoteText, accent: str) -> Iterator[Mark]:
    """Bars of the histogram, and a line each for what matters on it."""
    edges, counts = outlook.histogram
    sale = priced.chain
    limit = float(sale.net - sale.fee_total)
    named = [
        ("plan", outlook.plan), ("half cost less", outlook.cost[1].value), ("8 in 10 cost less", outlook.cost[2].value),
        ("the price leaves for it", limit),
    ]  # fmt: skip
    low, high = min(edges[0], *(at for _, at in named)), max(edges[-1], *(at for _, at in named))
    room = (high - low) or 1.0
    bottom, most = TOP + SPREAD_HEIGHT, max(counts) or 1

    def x(value: float) -> float:
        return 4 + (WIDTH - 8) * (value - low) / room

    for left, right, count in zip(edges, edges[1:], counts, strict=False):
        high_pt = SPREAD_HEIGHT * count / most
        colour = DEAR if left >= limit else accent
        yield Box(x(left), bottom - high_pt, max(x(right) - x(left) - 0.5, 0.3), high_pt, colour)
    yield Stroke(((0, bottom), (WIDTH, bottom)), QUIET)
    ends = [0.0, 0.0, 0.0, 0.0]
    for name, at in sorted(named, key=lambda one: one[1]):
        label = f"{name} {text.about(at)}"
        half = width(label, REGULAR, 7.5) / 2
        centre = min(max(x(at), half), WIDTH - half)
        row = next((i for i, end in enumerate(ends) if centre - half > end + 6), len(ends) - 1)
        ends[row] = centre + half
        yield Stroke(((x(at), TOP - 12), (x(at), bottom + 4 + 10 * row)), LINE, 0.8)
        yield Words(centre, bottom + 12 + 10 * row, label, 7.5, LINE, "middle")


def _tornado(
    bars: list[Driver], outlook: Outlook, text: QuoteText, accent: str, top: float
) -> Iterator[Mark]:
    """A bar an input from the cost at its low to the cost at its high, with its share of the variance."""
    if not bars:
        yield Words(0, top + 10, "Every input is certain: nothing moves the cost.", 8, QUIET)
        return
    ends = [end for one in bars for end in (one.at_low, one.at_high)]
    low, high = min(*ends, outlook.plan), max(*ends, outlook.plan)
    room, right = (high - low) or 1.0, WIDTH - 40

    def x(value: float) -> float:
        return LABELS + (right - LABELS) * (value - low) / room

    for i, one in enumerate(bars):
        y = top + i * (BAR + GAP)
        name = text.ink("input", said(one))
        yield Words(LABELS - 6, y + BAR - 2.5, cut(name, REGULAR, 7.5, LABELS - 8), 7.5, LINE, "end")
        cheap, dear = sorted((one.at_low, one.at_high))
        yield Box(x(cheap), y, max(x(outlook.plan) - x(cheap), 0.3), BAR, accent)
        yield Box(x(outlook.plan), y, max(x(dear) - x(outlook.plan), 0.3), BAR, DEAR)
        yield Words(WIDTH, y + BAR - 2.5, f"{max(one.share, 0.0):.0%}", 7.5, QUIET, "end")
    foot = top + len(bars) * (BAR + GAP) + 2
    yield Stroke(((x(outlook.plan), top - 4), (x(outlook.plan), foot)), LINE, 0.8)
    for at, anchor in ((low, "start"), (high, "end")):
        yield Words(x(at), foot + 9, text.about(at), 7.5, QUIET, anchor)
    yield Words(LABELS - 6, foot + 9, "share of what is unsure, at the right", 7.5, QUIET, "end")


def said(one: Driver) -> str:
    """An input as makers read it: its path in words and its range."""
    return f"{said_path(one.name).replace('-', ' ')} {one.words}"
