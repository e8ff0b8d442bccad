"""Pictures of a price: what the cost is made of, how the price comes out of it, how the cost spreads and what moves it, and how
far the price reaches: what the trip and its surcharge cost by distance, and what margin is left.
"""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from functools import partial

from quoting.documents.paper.text import REGULAR, Ink, QuoteText, glyphs, said_path, width
from quoting.documents.pictures import marks
from quoting.job.shop import Shop
from quoting.measures import shown
from quoting.measures.showing import per_cent, unit_shown
from quoting.money import whole
from quoting.pricing.outlook import Driver, Outlook
from quoting.pricing.reach import Reach
from quoting.pricing.record import Priced, group_title

SPREAD_HEIGHT, TOP = 96.0, 34.0
MOST_BARS, FEW = 12, 3
APART = 4.0  # words and words beside them [pt]
SEEN = 0.005
"""A share that is no nought in whole per cents; below it, and beyond the first few, an input is only counted."""

KEY = "Dark: what lowers the cost; light: what raises it. At the right, the share of all that is unsure."

PANEL, GAP, LEFT, RIGHT, LINE = 130.0, 46.0, 56.0, 96.0, 9.0
POINTS = 120
ASKED = "this delivery"
LEAST = -0.2  # margins below leave the panel by its lower edge


def cost_picture(priced: Priced) -> marks.Figure:
    """A bar a group of costs, the dearest first, with its amount and its share of all."""
    text = QuoteText(priced)
    groups = {name: priced.cost[name] for name in (*priced.groups, "reserve") if priced.cost.get(name)}
    total = sum(groups.values(), Decimal(0))
    rows = []
    for name, amount in sorted(groups.items(), key=lambda one: -one[1]):
        said = f"{text.money(amount)}, {text.about_share(float(amount / total))}"
        colour = marks.SOLID if amount > 0 else marks.AGAINST
        rows.append(marks.bar(group_title(name), 0, amount, colour, said))
    costs = "costs" if priced.job.piece.quantity == 1 else "cost"
    said = f"What {_pieces(priced)} {costs}: {text.money(total)}"
    return marks.of_rows(said, "; ".join(f"{row.name} {row.said}" for row in rows), rows, priced.shop.shop)


def price_picture(priced: Priced) -> marks.Figure:
    """From the cost to what the client pays, a bar a step from where the one before ended."""
    text, chain = QuoteText(priced), priced.chain
    reserve = priced.cost.get("reserve", Decimal(0))
    kept = chain.net - chain.fee_total - chain.with_reserve - chain.delivery_extra
    steps = (
        ("reserve", reserve, marks.PLANNED),
        ("trip beyond the free distance", chain.delivery_extra, marks.SOLID),
        ("fees, and what is kept for mending", chain.fee_total, marks.SOLID),
        ("margin", kept, marks.SOLID),
    )
    at = chain.with_reserve - reserve
    money = text.money
    rows = [marks.bar("cost by the plan", 0, at, marks.SOLID, money(at), bold=True)]
    for name, amount, colour in steps:
        if amount:
            rows.append(marks.bar(name, at, at + amount, colour, money(amount)))
            at += amount
    rows.append(marks.bar("price without tax", 0, chain.net, marks.SOLID, money(chain.net), bold=True))
    if chain.tax:
        tax, total = chain.tax, chain.total
        rows.append(marks.bar(priced.shop.tax.name, chain.net, chain.net + tax, marks.PLANNED, money(tax)))
        rows.append(marks.bar("what the client pays", 0, total, marks.SOLID, money(total), bold=True))
    share = text.share(chain.margin.quantize(Decimal("0.001")))
    said = f"From the cost to the price: a margin of {share}; pale: what is held back, or passed on"
    return marks.of_rows(said, "; ".join(f"{row.name} {row.said}" for row in rows), rows, priced.shop.shop)


def risk_picture(priced: Priced, outlook: Outlook) -> marks.Figure:
    """Spread of the cost with the plan, 8 in 10 builds and what the price leaves for it; below, a bar an input."""
    text = QuoteText(priced)
    top = TOP + SPREAD_HEIGHT + 62
    moved = "What moves the cost most, from the low to the high of each"
    moves = marks.title(moved, marks.accent_of(priced.shop.shop), top)
    ranked = sorted((*outlook.drivers, *outlook.setbacks), key=lambda one: -one.swing)
    shown = [one for i, one in enumerate(ranked) if i < FEW or one.share >= SEEN][:MOST_BARS]
    tornado, foot = _tornado(shown, len(ranked) - len(shown), outlook, text, top + 12)
    eight = text.about(outlook.cost[2].value)
    words = f"8 in 10 builds cost less than {eight}; the plan is met in {text.about_share(outlook.met.share)} of builds."
    name = f"How sure the price of {text.ink('title', priced.job.piece.title)} is"
    drawn = [*_spread(priced, outlook, text), moves, *tornado]
    said = f"What {_pieces(priced)} may cost, the whole trip included"
    if outlook.histogram[0][-1] > _limit(priced):
        said += "; light: more than the price leaves for it"
    return marks.framed(said, words, drawn, foot, priced.shop.shop, name)


def _pieces(priced: Priced) -> str:
    count = priced.job.piece.quantity
    return "the piece" if count == 1 else f"the {count} pieces"


def _limit(priced: Priced) -> float:
    """What the price leaves for the cost [money]."""
    return float(priced.chain.net - priced.chain.fee_total)


def _spread(priced: Priced, outlook: Outlook, text: QuoteText) -> Iterator[marks.Mark]:
    """Bars of the histogram, and a line each for what matters on it."""
    edges, counts = outlook.histogram
    limit = _limit(priced)
    named = [
        ("plan", outlook.plan), ("half cost less", outlook.cost[1].value), ("8 in 10 cost less", outlook.cost[2].value),
        ("the price leaves for it", limit),
    ]  # fmt: skip
    low, high = min(edges[0], *(at for _, at in named)), max(edges[-1], *(at for _, at in named))
    on, bottom, most = marks.Scale(low, high, 4, marks.WIDTH - 4), TOP + SPREAD_HEIGHT, max(counts) or 1
    for left, right, count in zip(edges, edges[1:], counts, strict=False):
        high_pt = SPREAD_HEIGHT * count / most
        colour = marks.AGAINST if left >= limit else marks.SOLID
        yield marks.Box(
            on.x(left), bottom - high_pt, max(on.x(right) - on.x(left) - 0.5, 0.3), high_pt, colour
        )
    yield marks.Stroke(((0, bottom), (marks.WIDTH, bottom)), marks.QUIET)
    ends = [0.0] * len(named)
    lines: list[marks.Mark] = []
    names: list[marks.Mark] = []
    for name, at in sorted(named, key=lambda one: one[1]):
        named_at = f"{name} {text.about(at)}"
        half = width(named_at, REGULAR, marks.LABEL) / 2
        centre = min(max(on.x(at), half), marks.WIDTH - half)
        row = next((i for i, end in enumerate(ends) if centre - half > end + 6), len(ends) - 1)
        ends[row] = centre + half
        lines.append(marks.Stroke(((on.x(at), TOP - 12), (on.x(at), bottom + 4 + 10 * row)), marks.INK, 0.8))
        # A line to a lower row goes on behind the words above it.
        names.append(marks.Box(centre - half - 1, bottom + 5 + 10 * row, 2 * half + 2, 9, "#ffffff"))
        names.append(marks.label(centre, bottom + 12 + 10 * row, named_at, marks.INK, "middle"))
    yield from (*lines, *names)


def _tornado(
    shown: list[Driver], more: int, outlook: Outlook, text: QuoteText, top: float
) -> tuple[list[marks.Mark], float]:
    """A bar an input from the cost at its low to the cost at its high, with its share of the variance; where they end."""
    if not shown:
        return [marks.label(0, top + 10, "Every input is certain: nothing moves the cost.")], top + 14
    rows = []
    for one in shown:
        cheap, dear = sorted((one.at_low, one.at_high))
        below = marks.Span(cheap, min(dear, outlook.plan), marks.SOLID)
        above = marks.Span(max(cheap, outlook.plan), dear, marks.AGAINST)
        spans = tuple(span for span in (below, above) if span.end > span.start)
        name = text.ink("input", f"{said_path(one.name).replace('-', ' ')} {one.words}")
        rows.append(marks.Row(name, spans, text.about_share(max(one.share, 0.0))))
    on, foot = marks.scale_of(rows, outlook.plan), top + marks.height(rows) + 2
    drawn = [*marks.bars(rows, on, top), marks.line_at(outlook.plan, on, top - 4, foot)]
    drawn += _ends(on, outlook.plan, foot + 9, text)
    if more:
        rest = "One input more matters less." if more == 1 else f"{more} inputs more matter less."
    drawn.append(marks.label(0.0, foot + 20, f"{KEY} {rest}" if more else KEY))
    return drawn, foot + 24


def _ends(on: marks.Scale, plan: float, y: float, text: QuoteText) -> Iterator[marks.Mark]:
    """The amounts at both ends of a scale, and at its line where there is room between them."""
    low, middle, high = text.about(on.low), f"plan {text.about(plan)}", text.about(on.high)
    yield marks.label(on.x(on.low), y, low)
    yield marks.label(on.x(on.high), y, high, anchor="end")
    half = width(middle, REGULAR, marks.LABEL) / 2 + APART
    first, last = width(low, REGULAR, marks.LABEL), width(high, REGULAR, marks.LABEL)
    if on.x(on.low) + first < on.x(plan) - half and on.x(plan) + half < on.x(on.high) - last:
        yield marks.label(on.x(plan), y, middle, anchor="middle")


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
        14 + PANEL + GAP, "What is left of the price, by distance by road", at, partial(per_cent, digits=0), shop,
        [
            ("delivered free", margins, marks.AGAINST), ("with surcharge", [max(row.margin, LEAST) for row in rows], marks.SOLID),
            ("floor", flat[0], marks.QUIET), ("margin asked", flat[1], marks.QUIET),
        ], min(0.0, *margins), asked_m,
    )  # fmt: skip
    words = (
        "Cost of the trip and surcharge by distance by road, and the margin that is left with and without it."
    )
    name = Ink(glyphs())("title", f"How far {piece} can be delivered")
    return marks.rimmed(marks.Figure(marks.WIDTH, 2 * PANEL + GAP + 44, name, words, [*top, *below]))


def _panel(
    top: float, said: str, at: Sequence[float], figures: Callable[[float], str], shop: Shop,
    lines: Sequence[tuple[str, Sequence[float], str]], least: float, asked_m: float | None,
) -> Iterator[marks.Mark]:  # fmt: skip
    """Lines over distance, each named at its end; names stand apart."""
    most = max(max(values) for _, values, _ in lines)
    room, bottom, right = (most - least) or 1.0, top + PANEL, marks.WIDTH - RIGHT
    on = marks.Scale(0.0, at[-1], LEFT, right)

    def y(value: float) -> float:
        return bottom - (PANEL - 16) * (value - least) / room

    yield marks.title(said, marks.accent_of(shop.shop), top)
    for value in marks.ticks(least, most):
        yield marks.Stroke(((LEFT, y(value)), (right, y(value))), marks.HAIR, 0.5)
        yield marks.label(LEFT - 6, y(value) + 2.5, figures(value), anchor="end")
    _, metres = unit_shown(at[-1], "distance", shop.shop.units)
    if asked_m is not None:
        yield marks.Stroke(((on.x(asked_m), top + 12), (on.x(asked_m), bottom)), marks.QUIET, 0.5)
        yield marks.Words(on.x(asked_m) + 3, top + 18, ASKED, marks.SMALL, marks.QUIET)
    for distance in marks.ticks(0.0, at[-1] / metres):
        distance *= metres
        unit = shown(distance, "distance", shop.shop.units) if distance else "0"
        yield marks.label(on.x(distance), bottom + 12, unit, anchor="middle")
    for _, values, colour in sorted(lines, key=lambda one: one[2] != marks.QUIET):
        points = tuple((on.x(d), y(v)) for d, v in zip(at, values, strict=True))
        yield marks.Stroke(points, colour, 0.7 if colour == marks.QUIET else 1.3)
    ends = sorted(lines, key=lambda one: -one[1][-1])
    heights = marks.apart([y(values[-1]) + 2.5 for _, values, _ in ends], LINE, top)
    for (name, _, colour), height in zip(ends, heights, strict=True):
        yield marks.label(right + 6, height, name, marks.INK if colour == marks.AGAINST else colour)
