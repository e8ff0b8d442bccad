"""Cut plans on the terminal: what to buy, where every part comes from, in which order the saw goes, what is left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import money_in
from quoting.cli.terminal import bold, dim, whole_row, wrapped
from quoting.cut_plans.words import (
    measure_words,
    number_words,
    numbered,
    offcut_words,
    panel_words,
    piece_words,
    rule_words,
    shopping,
    size_words,
    step_words,
    stock_words,
)
from quoting.errors import one_line
from quoting.money import exact, minor_digits

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.nesting.record import CutPlan, Offcut, SawnPiece, SawnStock
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
    return money_in(house.currency, exact(value, minor_digits(house.currency)))


def _head(plan: CutPlan, found: CutOut) -> str:
    system = found.brief.shop.shop.units
    number = number_words(sum(stock.number for stock in plan.stocks), plan)
    rows = [bold(one_line(f"{plan.item}: {number}"))]
    needed, taken = (measure_words(value, plan, system) for value in (plan.needed, plan.taken))
    kerf = rule_words(plan.kerf_m, system)
    words = f"{needed} of blanks (rough sizes) from {taken}: {plan.waste:.0%} is waste or left over; the saw takes {kerf}"
    rows.append(wrapped(words, "  "))
    if plan.bought:
        rows.append(wrapped(f"stock bought for {_money(found, plan.bought)}; {_proof(plan, found)}", "  "))
    if abs(plan.charged - plan.bought) >= 0.005:
        words = f"this job is charged {_money(found, plan.charged)}: {' and '.join(_charged(plan))}"
        rows.append(wrapped(words, "  "))
    if plan.kept:
        rows.append(wrapped(f"offcuts that are kept are worth {_money(found, plan.kept)}", "  "))
    return "\n".join(rows)


def _proof(plan: CutPlan, found: CutOut) -> str:
    if plan.bought <= plan.bound:
        return "no plan costs less"
    early = "; the search was ended early" if plan.ended_early else ""
    if not plan.bound:
        return f"how much less another could cost is not known{early}"
    bound = f"no plan can cost less than {_money(found, plan.bound)}"
    return f"{bound}, so a better one would save {1 - plan.bound / plan.bought:.1%} at most{early}"


def _charged(plan: CutPlan) -> Iterator[str]:
    """Why a job is charged something else than what is bought for it."""
    if any(stock.supplied == "bought" and stock.used < 1 for stock in plan.stocks):
        yield "what is bought without the offcuts that are kept"
    if any(stock.supplied == "rack" for stock in plan.stocks):
        yield "what lies on the rack as far as it is used, with the shop's waste on it"


def _shopping(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """What to buy, and what to take from the rack."""
    for title, supplied in (("  To buy", "bought"), ("  From the rack", "rack")):
        rows = [
            whole_row(one_line(f"    {number_words(many, plan)} {size}"), _money(found, many * price))
            for size, (many, price) in shopping(plan, supplied, found.brief.shop.shop.units).items()
        ]
        if rows:
            yield "\n".join([title, *rows])


def _stocks(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """Every stock that is cut another way; then the panels that are glued up from their staves."""
    system = found.brief.shop.shop.units
    for name, stock in numbered(plan):
        rows = [one_line(f"  {name}: {stock_words(stock, system)}")]
        rows += _cuts(stock, system)
        left = offcut_words(stock, system)
        rows += [wrapped(f"kept: {', '.join(left)}", "     ")] if left else []
        yield "\n".join(rows)
    panels = [wrapped(one_line(words), "    ") for words in panel_words(plan, system)]
    if panels:
        yield "\n".join(["  To glue up", *panels])


def _cuts(stock: SawnStock, system: str) -> list[str]:
    if len(stock.steps) > MANY:
        many: dict[str, int] = {}
        for piece in stock.pieces:
            name = f"{piece_words(piece)} {size_words(piece.length_m, piece.width_m, system)}"
            many[name] = many.get(name, 0) + 1
        rows = [f"{number} of {name}" for name, number in many.items()]
        rows.append(f"{len(stock.steps)} cuts: write the drawing with --out FOLDER")
        return [wrapped(one_line(row), "     ") for row in rows]
    rows = [wrapped(one_line(f"{mark} {words}"), "     ") for mark, words in step_words(stock, system)]
    return rows or ["     as it is: " + ", ".join(piece_words(piece) for piece in stock.pieces)]


def _spares(plan: CutPlan) -> Iterator[str]:
    """Which blanks an offcut could replace: what to think of before buying one more."""
    offcuts = [left for stock in plan.stocks for left in stock.offcuts]
    blanks = [piece for stock in plan.stocks for piece in stock.pieces]
    parts = dict.fromkeys(piece.part for piece in blanks)
    none = dict.fromkeys(piece.part for piece in blanks if not _replaced(piece, offcuts))
    spare = [part for part in parts if part not in none]
    said = [f"an offcut would do for {', '.join(spare)}"] if spare else []
    said += [f"nothing that is left would do for {', '.join(none)}: buy one more to be sure"] if none else []
    yield wrapped(one_line(f"Should a blank be spoilt: {'; '.join(said)}."), "  ")


def _replaced(piece: SawnPiece, offcuts: Sequence[Offcut]) -> bool:
    return any(
        left.length_m >= length and left.width_m >= width for left in offcuts for length, width in piece.ways
    )


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
        why = (
            "what lies on the rack does not hold all of its parts, and none to buy is listed"
            if item.rows
            else "no stock of it is listed"
        )
        words = (
            f"Not planned, and so not in the lists above: {item.name}. For {why}: its price rests on a waste."
        )
        yield wrapped(one_line(f"{words} Write a [[board]] that can be bought, or a tally of the yard."), "")
    for row in found.unused:
        yield wrapped(one_line(f"No part is cut from {row.path} ({row.name})."), "")
    if found.interrupted or any(plan.ended_early for plan in found.plans):
        yield "The search was ended early: this is the best plan so far."
    if found.interrupted or found.timed:
        yield wrapped("Prices rest on the plan of the usual search, without --seconds.", "")
    yield dim(wrapped(one_line(found.caution), ""))
