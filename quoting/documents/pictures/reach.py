"""The picture of a reach: what the trip and its surcharge cost by distance, and what margin is left."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from quoting.documents.paper.text import Ink, glyphs
from quoting.documents.pictures import marks
from quoting.job.shop import Shop
from quoting.measures import shown
from quoting.measures.showing import unit_shown
from quoting.money import whole
from quoting.pricing.reach import Reach

PANEL, GAP, LEFT, RIGHT, LINE = 130.0, 46.0, 56.0, 96.0, 9.0
POINTS = 120
ASKED = "this delivery"
LEAST = -0.2  # margins below leave the panel by its lower edge


def reach_picture(reach: Reach, shop: Shop, piece: str, asked_m: float | None) -> marks.Figure:
    """Above, money by distance: the trip and the surcharge; below, the margin free and with it, floor and margin asked."""
    furthest = max(reach.furthest_m, asked_m or 0.0) or 1.0
    rows = [reach.row(furthest * i / POINTS) for i in range(POINTS + 1)]
    at = [row.distance for row in rows]
    money = partial(whole, currency=shop.shop.currency, locale=shop.shop.locale)
    top = _panel(
        14, "What a delivery costs, by distance by road", at, money, shop,
        [("the trip", [row.trip for row in rows], marks.INK), ("surcharge", [row.surcharge for row in rows], marks.SOLID)], 0.0, asked_m,
    )  # fmt: skip
    margins = [max(row.free_margin, LEAST) for row in rows]
    flat = [float(reach.rules.floor)] * len(rows), [float(reach.rules.margin)] * len(rows)
    below = _panel(
        14 + PANEL + GAP, "What is left of the price, by distance by road", at, "{:.0%}".format, shop,
        [
            ("delivered free", margins, marks.AGAINST), ("with surcharge", [max(row.margin, LEAST) for row in rows], marks.SOLID),
            ("floor", flat[0], marks.QUIET), ("margin asked", flat[1], marks.QUIET),
        ], min(0.0, *margins), asked_m,
    )  # fmt: skip
    words = (
        "Cost of the trip and surcharge by distance by road, and the margin that is left with and without it."
    )
    name = Ink(glyphs())("title", f"How far {piece} can be delivered")
    return marks.padded(
        marks.Figure(marks.WIDTH, 2 * PANEL + GAP + 44, name, words, [*top, *below]), marks.EDGE
    )


def _panel(
    top: float, said: str, at: Sequence[float], figures: Callable[[float], str], shop: Shop,
    lines: Sequence[tuple[str, Sequence[float], str]], least: float, asked_m: float | None,
) -> Iterator[marks.Mark]:  # fmt: skip
    """Lines over distance, each named at its end; names stand apart."""
    most = max(max(values) for _, values, _ in lines)
    room, bottom, right = (most - least) or 1.0, top + PANEL, marks.WIDTH - RIGHT

    def x(distance: float) -> float:
        return LEFT + (right - LEFT) * distance / at[-1]

    def y(value: float) -> float:
        return bottom - (PANEL - 16) * (value - least) / room

    yield marks.title(said, marks.accent_of(shop.shop), top)
    for value in marks.ticks(least, most):
        yield marks.Stroke(((LEFT, y(value)), (right, y(value))), marks.HAIR, 0.5)
        yield marks.label(LEFT - 6, y(value) + 2.5, figures(value), anchor="end")
    _, metres = unit_shown(at[-1], "distance", shop.shop.units)
    if asked_m is not None:
        yield marks.Stroke(((x(asked_m), top + 12), (x(asked_m), bottom)), marks.QUIET, 0.5)
        yield marks.Words(x(asked_m) + 3, top + 18, ASKED, marks.SMALL, marks.QUIET)
    for distance in marks.ticks(0.0, at[-1] / metres):
        distance *= metres
        unit = shown(distance, "distance", shop.shop.units) if distance else "0"
        yield marks.label(x(distance), bottom + 12, unit, anchor="middle")
    for _, values, colour in sorted(lines, key=lambda one: one[2] != marks.QUIET):
        points = tuple((x(d), y(v)) for d, v in zip(at, values, strict=True))
        yield marks.Stroke(points, colour, 0.7 if colour == marks.QUIET else 1.3)
    ends = sorted(lines, key=lambda one: -one[1][-1])
    heights = marks.apart([y(values[-1]) + 2.5 for _, values, _ in ends], LINE, top)
    for (name, _, colour), height in zip(ends, heights, strict=True):
        yield marks.label(right + 6, height, name, marks.INK if colour == marks.AGAINST else colour)
