"""The command that plans the cuts: what to buy, where every part comes from, in which order the saw goes, what is left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import cut_data
from quoting.cli.app import (
    Answer,
    Details,
    Job,
    Json,
    Overwrite,
    Settings,
    Shop,
    arg,
    command,
    same,
    this_day,
)
from quoting.cli.shape import answer, part
from quoting.cli.terminal import aside, block, blocks, bold, ended_by_key, money, progress, whole_row, wrapped
from quoting.cut_plans import words as say
from quoting.errors import Exit, one_line
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.runs.cut import CutOut
    from quoting.takeoff.stock import CutPlan, SawnStock

DRAWINGS = "cut-plan"
"""The folder that drawings are offered to be written to."""

MOST_TOLD, MANY = 8, 40
"""Cuts of one stock beyond which the terminal names only the blanks: the drawing has them all."""


@command("planning the cuts")
def cut(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    seconds: Annotated[
        float | None, arg("--seconds", "Search so long for a better plan [default: as prices do].", "TIME")
    ] = None,
    out: Annotated[
        Path | None,
        arg(
            "--out",
            "Write there the drawing for the wall (PDF, SVG), and the rack afterwards (CSV), which a job can read.",
            "FOLDER",
        ),
    ] = None,
    overwrite: Overwrite = False,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Plan the cuts of a job, from the boards, sheets and bars that it lists.

    What to buy at the least price, which stock each part comes from, every cut in its order, what is left and what it is
    worth. Ctrl-C ends the search and keeps the best plan so far.
    """
    from quoting.runs import cut as recipes

    asked = recipes.Asked(seconds, out, overwrite)
    with ended_by_key() as halt:
        found = recipes.cut(job, shop, this_day(), setting or (), asked, progress, halt)
    said = (cut_data if as_json else _text if details else _answer)(found)
    status = Exit.INTERRUPTED if found.interrupted else Exit.DONE
    after = ["cut", job, *same(shop, setting), "--out", DRAWINGS] if out is None and found.brief.plans else []
    return Answer(said, found.written, status=status, next=after, brief=not details)


def _answer(found: CutOut) -> str:
    """What to buy and what for; a row an item: how many, how much of it is waste, what the job is charged."""
    plans, system = found.brief.plans, found.brief.shop.shop.units
    figures = [
        (_money(found, sum(plan.bought for plan in plans)), "to buy"),
        (_money(found, sum(plan.charged for plan in plans)), "charged to the job"),
        (_money(found, sum(plan.kept for plan in plans)), "worth of the offcuts that are kept"),
    ]
    items = (
        whole_row(
            f"  {plan.item}: {say.number_words(sum(stock.number for stock in plan.stocks), plan)},"
            f" {per_cent(plan.waste, 0)} waste or left over",
            _money(found, plan.charged),
        )
        for plan in plans
    )
    bought = [
        whole_row(f"  {say.number_words(many, plan)} {plan.item}, {size}", _money(found, many * price))
        for plan in plans
        for size, (many, price) in say.shopping(plan, "bought", system).items()
    ]
    more = [aside(f"and {len(bought) - MOST_TOLD} more", "  ")] if len(bought) > MOST_TOLD else []
    return answer(
        f"Cut plan: {found.brief.job.piece.title}",
        figures,
        part("What is cut", items, "charged"),
        part("To buy", [*bought[:MOST_TOLD], *more]),
        "\n".join(_notes(found)),
    )


def _text(found: CutOut) -> str:
    """Everything that the command says."""
    parts = [bold(f"Cut plan: {found.brief.job.piece.title}")]
    for plan in found.brief.plans:
        head = "\n".join(_head(plan, found))
        parts += [head, *_shopping(plan, found), *_stocks(plan, found), _spares(plan)]
    shapes = []
    for one in found.shapes:
        words = f"  {one.part}: {per_cent(one.left, 0)} of its blanks is cut away"
        shapes.append(whole_row(words, f"{_money(found, one.money)} of stock"))
    shaped = block("Shaped parts: it is the rectangle that is cut", shapes)
    return blocks(*parts, shaped, *_notes(found))


def _money(found: CutOut, value: float) -> str:
    return money(found.brief.shop.shop.currency, value)


def _head(plan: CutPlan, found: CutOut) -> Iterator[str]:
    system = found.brief.shop.shop.units
    yield bold(f"{plan.item}: {say.number_words(sum(stock.number for stock in plan.stocks), plan)}")
    needed, taken = (say.measure_words(value, plan, system) for value in (plan.needed, plan.taken))
    waste = f"{per_cent(plan.waste, 0)} is waste or left over; the saw takes {say.rule_words(plan.kerf_m, system)}"
    yield wrapped(f"{needed} of blanks (rough sizes) from {taken}: {waste}", "  ")
    if plan.bought:
        yield wrapped(f"stock bought for {_money(found, plan.bought)}; {_proof(plan, found)}", "  ")
    if abs(plan.charged - plan.bought) >= 0.005:
        kept = any(stock.supplied == "bought" and stock.used < 1 for stock in plan.stocks)
        why = ["what is bought without the offcuts that are kept"] if kept else []
        if any(stock.supplied == "rack" for stock in plan.stocks):
            why.append("what lies on the rack as far as it is used, with the shop's waste on it")
        yield wrapped(f"this job is charged {_money(found, plan.charged)}: {' and '.join(why)}", "  ")
    if plan.kept:
        yield wrapped(f"offcuts that are kept are worth {_money(found, plan.kept)}", "  ")


def _proof(plan: CutPlan, found: CutOut) -> str:
    if plan.bought <= plan.bound:
        return "no plan costs less"
    early = "; the search was ended early" if plan.ended_early else ""
    if not plan.bound:
        return f"how much less another could cost is not known{early}"
    bound = f"no plan can cost less than {_money(found, plan.bound)}"
    return f"{bound}, so a better one would save {per_cent(1 - plan.bound / plan.bought)} at most{early}"


def _shopping(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """What to buy, and what to take from the rack."""
    for title, supplied in (("  To buy", "bought"), ("  From the rack", "rack")):
        rows = [
            whole_row(f"    {say.number_words(many, plan)} {size}", _money(found, many * price))
            for size, (many, price) in say.shopping(plan, supplied, found.brief.shop.shop.units).items()
        ]
        yield "\n".join([title, *rows]) if rows else ""


def _stocks(plan: CutPlan, found: CutOut) -> Iterator[str]:
    """Every stock that is cut another way; then the panels that are glued up from their staves."""
    system = found.brief.shop.shop.units
    for name, stock in say.numbered(plan):
        rows = [one_line(f"  {name}: {say.stock_words(stock, system)}")]
        rows += _cuts(stock, system)
        left = say.offcut_words(stock, system)
        rows += [wrapped(f"kept: {', '.join(left)}", "     ")] if left else []
        yield "\n".join(rows)
    panels = [wrapped(words, "    ") for words in say.panel_words(plan, system)]
    yield "\n".join(["  To glue up", *panels]) if panels else ""


def _cuts(stock: SawnStock, system: str) -> list[str]:
    if len(stock.steps) > MANY:
        many = Counter(
            f"{say.piece_words(one)} {say.size_words(one.length_m, one.width_m, system)}"
            for one in stock.pieces
        )
        rows = [f"{number} of {name}" for name, number in many.items()]
        rows.append(f"{len(stock.steps)} cuts: write the drawing with --out FOLDER")
        return [wrapped(row, "     ") for row in rows]
    rows = [wrapped(f"{mark} {words}", "     ") for mark, words in say.step_words(stock, system)]
    return rows or ["     as it is: " + ", ".join(say.piece_words(piece) for piece in stock.pieces)]


def _spares(plan: CutPlan) -> str:
    """Which blanks an offcut could replace: what to think of before buying one more."""
    blanks = [piece for stock in plan.stocks for piece in stock.pieces]
    parts = dict.fromkeys(piece.part for piece in blanks)
    sizes = [(left.length_m, left.width_m) for stock in plan.stocks for left in stock.offcuts]
    none = dict.fromkeys(
        piece.part
        for piece in blanks
        if not any(length >= long and width >= wide for length, width in sizes for long, wide in piece.ways)
    )
    spare = [part for part in parts if part not in none]
    said = [f"an offcut would do for {', '.join(spare)}"] if spare else []
    said += [f"nothing that is left would do for {', '.join(none)}: buy one more to be sure"] if none else []
    return wrapped(f"Should a blank be spoilt: {'; '.join(said)}.", "  ")


def _notes(found: CutOut) -> Iterator[str]:
    for item in found.unplanned:
        rack = "what lies on the rack does not hold all of its parts, and none to buy is listed"
        why = f"{rack if item.rows else 'no stock of it is listed'}: its price rests on a waste"
        words = f"Not planned, and so not in the lists above: {item.name}. For {why}."
        yield wrapped(f"{words} Write a [[board]] that can be bought, or a tally of the yard.")
    for row in found.unused:
        yield wrapped(f"No part is cut from {row.path} ({row.name}).")
    if found.interrupted or any(plan.ended_early for plan in found.brief.plans):
        yield "The search was ended early: this is the best plan so far."
    if found.interrupted or found.timed:
        yield wrapped("Prices rest on the plan of the usual search, without --seconds.")
    yield aside(found.caution)
