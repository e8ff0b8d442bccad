"""Cut plans on the terminal: what to buy, where every part comes from, in which order the saw goes, what is left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.terminal import bold, dim, whole_row, wrapped
from quoting.errors import one_line
from quoting.money import exact, minor_digits, printed
from quoting.sawing.words import (
    measure_words,
    number_words,
    offcut_words,
    piece_words,
    size_words,
    step_words,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.cutting.record import CutPlan, SawnStock
    from quoting.runs.cut import CutOut

MANY = 40
"""Cuts of one stock beyond which the terminal names only the blanks: the drawing has them all."""


def cut_text(found: CutOut) -> str:
    """Everything that `quoting cut` says."""
    blocks = [bold(one_line(f"Cut plan: {found.brief.job.piece.title}"))]
    for plan in found.plans:
        blocks += [_head(plan, found), *_shopping(plan, found), *_stocks(plan, found), *_spares(plan)]
    blocks += list(_shapes(found))
    blocks += list(_notes(found))
    return "\n\n".join(block for block in blocks if block)


def _money(found: CutOut, value: float) -> str:
    house = found.brief.shop.shop
    return printed(exact(value, minor_digits(house.currency)), house.currency, house.locale)


def _head(plan: CutPlan, found: CutOut) -> str:
    system = found.brief.shop.shop.units
    number = number_words(sum(stock.number for stock in plan.stocks), plan)
    rows = [bold(one_line(f"{plan.item}: {number}"))]
    needed, taken = (measure_words(value, plan, system) for value in (plan.needed, plan.taken))
    kerf = measure_words(plan.kerf_m, plan._replace(kind="bar"), system)
    rows.append(
        wrapped(f"{needed} of blanks from {taken}: {plan.waste:.0%} is waste or left over; {kerf} kerf", "  ")
    )
    rows.append(wrapped(f"stock bought for {_money(found, plan.bought)}; {_proof(plan, found)}", "  "))
    if abs(plan.charged - plan.bought) >= 0.005:
        words = f"this job is charged {_money(found, plan.charged)}: the rack as far as it is used"
        words += (
            "" if found.brief.shop.cut.charge == "whole" else ", and boards without the offcuts that are kept"
        )
        rows.append(wrapped(words, "  "))
    if plan.kept:
        rows.append(wrapped(f"offcuts that are kept are worth {_money(found, plan.kept)}", "  "))
    return "\n".join(rows)


def _proof(plan: CutPlan, found: CutOut) -> str:
    if plan.bought <= plan.bound:
        return "no plan costs less"
    early = ", and the search was ended early" if plan.ended_early else ""
    return f"no plan costs less than {_money(found, plan.bound)} (gap {plan.gap:.1%}){early}"


def _shopping(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """What to buy, and what to take from the rack."""
    system = found.brief.shop.shop.units
    for title, supplied in (("  To buy", "bought"), ("  From the rack", "rack")):
        number: dict[tuple[str, float], int] = {}
        for stock in plan.stocks:
            if stock.supplied == supplied:
                size = f"{size_words(stock.length_m, stock.width_m, system)} ({stock.where})"
                number[size, stock.price] = number.get((size, stock.price), 0) + stock.number
        rows = [
            whole_row(
                one_line(f"    {many} x {size}"),
                f"{_money(found, price)} each = {_money(found, many * price)}",
            )
            for (size, price), many in number.items()
        ]
        if rows:
            yield "\n".join([title, *rows])


def _stocks(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """Every stock that is cut another way."""
    system = found.brief.shop.shop.units
    at = 1
    for stock in plan.stocks:
        last = at + stock.number - 1
        which = f"{at}" if stock.number == 1 else f"{at} to {last}"
        name = number_words(stock.number, plan).partition(" ")[2].capitalize()
        rows = [one_line(f"  {name} {which}: {stock_words(stock, system)}")]
        rows += _cuts(stock, system)
        left = offcut_words(stock, system)
        rows += [wrapped(f"kept: {', '.join(left)}", "     ")] if left else []
        yield "\n".join(rows)
        at = last + 1


def _cuts(stock: SawnStock, system: str) -> list[str]:
    if len(stock.steps) > MANY:
        many: dict[str, int] = {}
        for piece in stock.pieces:
            name = f"{piece_words(piece)} {size_words(piece.length_m, piece.width_m, system)}"
            many[name] = many.get(name, 0) + 1
        rows = [f"{number} x {name}" for name, number in many.items()]
        rows.append(f"{len(stock.steps)} cuts: write the drawing with --out FOLDER")
        return [wrapped(one_line(row), "     ") for row in rows]
    steps = list(step_words(stock, system))
    first = len(stock.steps) - len(steps) + 1  # a trim is no numbered cut: others are counted from one
    rows = []
    for number, words in enumerate(steps, start=first):
        rows.append(wrapped(one_line(f"{number or '-'} {words}"), "     "))
    return rows or ["     as it is: " + ", ".join(piece_words(piece) for piece in stock.pieces)]


def _spares(plan: CutPlan) -> Iterator[str]:
    """Which blanks an offcut could replace: what to think of before buying one more."""
    offcuts = [left for stock in plan.stocks for left in stock.offcuts]
    largest: dict[str, tuple[float, float]] = {}
    for stock in plan.stocks:
        for piece in stock.pieces:
            long, wide = largest.get(piece.part, (0.0, 0.0))
            largest[piece.part] = (max(long, piece.length_m), max(wide, piece.width_m))
    spare = [
        part
        for part, (long, wide) in largest.items()
        if any(left.length_m >= long and left.width_m >= wide for left in offcuts)
    ]
    none = [part for part in largest if part not in spare]
    said = [f"an offcut would do for {', '.join(spare)}"] if spare else []
    said += [f"nothing that is left would do for {', '.join(none)}: buy one more to be sure"] if none else []
    yield wrapped(one_line(f"Should a blank be spoilt: {'; '.join(said)}."), "  ")


def _shapes(found: CutOut) -> Iterator[str]:
    if not found.shapes:
        return
    rows = [bold("Shaped parts: it is the rectangle that is cut")]
    for shape in found.shapes:
        words = f"  {shape.part}: {shape.left:.0%} of its blanks is cut away"
        rows.append(whole_row(one_line(words), f"{_money(found, shape.money)} of stock"))
    yield "\n".join(rows)


def _notes(found: CutOut) -> Iterator[str]:
    for item in found.unplanned:
        words = f"Not planned: {item}. No stock of it is listed: its price rests on a waste, or on sheets and bars for each part by itself."
        yield dim(wrapped(one_line(words), ""))
    for row in found.unused:
        yield dim(wrapped(one_line(f"No part is cut from {row.path} ({row.name})."), ""))
    if any(plan.ended_early for plan in found.plans):
        yield wrapped(
            "The search was ended early: this is the best plan so far. Prices rest on the plan of the usual search.",
            "",
        )
