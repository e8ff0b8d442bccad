"""The picture of a stock that is cut: to scale, every blank with its part and size, offcuts hatched."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from quoting.cut_plans.words import blank_words, numbered, offcut_words, piece_words, size_words, stock_words
from quoting.documents.paper.text import BOLD, REGULAR, Ink, cut, glyphs, width
from quoting.documents.pictures import marks
from quoting.takeoff.stock import CutPlan, SawnPiece, SawnStock

POINTS_PER_M = 72 / 0.0254
SCALES = (1, 2, 4, 5, 8, 10, 12, 15, 16, 20, 25, 30, 32, 40, 50, 64, 75, 100, 150, 200, 500)
BAR_POINTS, HEAD, DIMENSION = 20.0, 16.0, 12.0
WASTE, BLANK, HATCHED = "#c4c4c4", "#dde6ee", "#a8a8a8"
SVG_WIDTH = 900.0
KEY = "Tinted: blanks, with their numbers. Hatched: offcuts that are kept. Grey: waste and trim."


class Drawn(NamedTuple):
    """How a stock is drawn: points a metre, and the units of the shop."""

    per_m: float
    system: str
    ink: Ink


def scale_of(stocks: Sequence[SawnStock], room: float, high: float) -> int:
    """The largest usual scale, 1 to so many, at which stocks fit a room [pt]."""
    length = max(stock.length_m for stock in stocks) * POINTS_PER_M
    wide = max(stock.width_m for stock in stocks) * POINTS_PER_M
    return next((one for one in SCALES if length / one <= room and wide / one <= high), SCALES[-1])


def stock_figure(
    plan: CutPlan, stock: SawnStock, system: str, room: float, high: float
) -> tuple[marks.Figure, int]:
    """One stock as large as it fits, and its scale."""
    scale = scale_of([stock], room - 2 * marks.EDGE, high - DIMENSION - 2 * marks.EDGE)
    ink = Ink(glyphs())
    drawn = list(_stock(stock, Drawn(POINTS_PER_M / scale, system, ink), 0.0, 0.0))
    return _figure(plan.item, drawn, stock.length_m * POINTS_PER_M / scale, _height(stock, scale), ink), scale


def key_words(*stocks: SawnStock) -> str:
    """What tints and hatches mean; crosses where there are any."""
    return f"{KEY} Crossed: defects." if any(stock.zones for stock in stocks) else KEY


def all_stocks(plans: Sequence[CutPlan], system: str, said: str, accent: str, caution: str) -> marks.Figure:
    """All stock of all plans below one another, at one scale: for the wall."""
    ink = Ink(glyphs())
    every = [stock for plan in plans for stock in plan.stocks]
    scale = scale_of(every, SVG_WIDTH, SVG_WIDTH / 2)
    heading = cut(ink("title", f"Cut plan: {said}"), BOLD, 13.0, SVG_WIDTH)
    drawn: list[marks.Mark] = [marks.Words(0.0, 14.0, heading, 13.0, accent, bold=True)]
    at = 30.0
    for plan in plans:
        for name, stock in numbered(plan):
            head = ink("item", f"{name}: {plan.item}, {stock_words(stock, system)}")
            head = cut(head, BOLD, 9.5, SVG_WIDTH)
            drawn.append(marks.Words(0.0, at + 10, head, 9.5, marks.INK, bold=True))
            drawn += _stock(stock, Drawn(POINTS_PER_M / scale, system, ink), 0.0, at + HEAD)
            at += HEAD + _height(stock, scale) + 8
            kept = [f"Kept: {', '.join(offcut_words(stock, system))}"] if offcut_words(stock, system) else []
            for line in _lines([*blank_words(stock, system), *kept], ink):
                drawn.append(marks.label(0.0, at + 6, line))
                at += 10
            at += 8
    drawn.append(marks.Words(0.0, at + 8, f"1 : {scale}. {key_words(*every)}", 8.0, marks.QUIET))
    for i, line in enumerate(_lines([caution], ink)):
        drawn.append(marks.label(0.0, at + 20 + 10 * i, line))
        high = at + 24 + 10 * i
    return _figure(said, drawn, SVG_WIDTH, high, ink)


def _lines(said: Sequence[str], ink: Ink) -> list[str]:
    """Words in lines as wide as the drawing, each thing after the other."""
    lines = [""]
    for word in ink("part", "; ".join(said)).split(" "):
        if width(f"{lines[-1]} {word}", REGULAR, marks.LABEL) > SVG_WIDTH:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _figure(title: str, drawn: Sequence[marks.Mark], wide: float, high: float, ink: Ink) -> marks.Figure:
    words = "Rectangles to scale: blanks with their parts and sizes on the stock that they are cut from."
    return marks.rimmed(marks.Figure(wide, high, ink("title", f"Cut plan of {title}"), words, drawn))


def _height(stock: SawnStock, scale: float) -> float:
    return (stock.width_m * POINTS_PER_M / scale or BAR_POINTS) + DIMENSION


def _stock(stock: SawnStock, how: Drawn, x: float, y: float) -> Iterator[marks.Mark]:
    """The stock with its corner at a point. Widths are counted from its lower edge, as a maker stands before it."""
    long, wide = stock.length_m * how.per_m, stock.width_m * how.per_m or BAR_POINTS

    def box(x_m: float, y_m: float, length_m: float, width_m: float) -> marks.Box:
        high = width_m * how.per_m or BAR_POINTS
        top = y + wide - y_m * how.per_m - high
        return marks.Box(x + x_m * how.per_m, top, length_m * how.per_m, high, BLANK)

    yield marks.Box(x, y, long, wide, WASTE)
    for left in stock.offcuts:
        if left.kept:
            one = box(left.x_m, left.y_m, left.length_m, left.width_m)._replace(colour=marks.PAPER)
            yield one
            yield from marks.hatched(one, HATCHED)
            yield marks.outlined(one, marks.INK)
            yield from _labelled(one, [size_words(left.length_m, left.width_m, how.system)], marks.PAPER)
    for number, piece in enumerate(stock.pieces, start=1):
        one = box(piece.x_m, piece.y_m, piece.length_m, piece.width_m)
        yield one
        yield marks.outlined(one, marks.INK)
        yield from _labelled(one, _labels(number, piece, how))
    for zone in stock.zones:
        one = box(*zone)
        yield marks.outlined(one, marks.AGAINST)
        yield marks.Stroke(((one.x, one.y), (one.x + one.width, one.y + one.height)), marks.AGAINST, 1.2)
        yield marks.Stroke(((one.x, one.y + one.height), (one.x + one.width, one.y)), marks.AGAINST, 1.2)
    yield marks.outlined(marks.Box(x, y, long, wide, marks.INK), marks.INK)
    size = size_words(stock.length_m, stock.width_m, how.system)
    yield marks.label(x + long / 2, y + wide + 9, size, anchor="middle")


def _labels(number: int, piece: SawnPiece, how: Drawn) -> list[str]:
    """What a blank is called, the longest first: it is used where it fits."""
    name = how.ink("part", f"no. {number} {piece_words(piece)}")
    size = size_words(piece.length_m, piece.width_m, how.system)
    return [f"{name}: {size}", f"no. {number}: {size}", f"no. {number}", str(number)]


def _labelled(box: marks.Box, labels: Sequence[str], behind: str = "") -> Iterator[marks.Mark]:
    """The first label that fits, on a ground of its own where the box is hatched."""
    size = min(8.0, box.height * 0.8)
    for name in labels:
        wide = width(name, REGULAR, size)
        if size >= 4.5 and wide + 4 <= box.width:
            middle, base = box.x + box.width / 2, box.y + box.height / 2 + size * 0.35
            if behind:
                yield marks.Box(middle - wide / 2 - 2, base - size * 0.85, wide + 4, size * 1.1, behind)
            yield marks.Words(middle, base, name, size, marks.INK, "middle")
            return
