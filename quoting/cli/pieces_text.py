"""Work in hand on the terminal: pieces with their figures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.cli.amounts import money
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line

if TYPE_CHECKING:
    from quoting.logbook.in_hand import InHand
    from quoting.pricing.record import Priced
    from quoting.runs.pieces import Pieces, Row


def pieces_text(found: Pieces) -> str:
    """Work in hand: a block a piece, and their sums."""
    title = "All pieces" if found.everything else "Work in hand"
    blocks = [bold(f"{title} on {found.day.isoformat()}")]
    blocks += [_piece_block(one) for one in found.rows]
    if not found.rows:
        blocks.append("  nothing in hand")
    blocks += list(_sums(found))
    if found.others:
        blocks.append(
            dim("not in hand: " + ", ".join(f"{count} {state}" for state, count in found.others.items()))
        )
    return "\n\n".join(blocks)


def _piece_block(one: Row) -> str:
    piece, figures, plan = one.piece, one.figures, one.piece.plan
    who = f" for {piece.quote.face.client}" if piece.quote.face.client else ""
    heading = (
        f"{piece.number} {piece.quote.face.title}{who}: {piece.standing.words} since {piece.standing.since}"
    )
    return "\n".join([bold(wrapped(one_line(heading), "")), *figure_rows(figures, plan)])


def figure_rows(figures: InHand, plan: Priced) -> Iterator[str]:
    """Rows of a piece: what comes in, what it costs, what is left."""
    contract = figures.contract
    name = "price agreed" if contract.firm else "price asked"
    yield row(f"  {name}" + (" (tax in it)" if contract.tax else ""), money(plan, contract.total))
    yield row("  received so far", money(plan, figures.received))
    if figures.owed:
        words = "still to come in" if figures.owed > 0 else "received too much"
        yield row(f"  {words}", money(plan, abs(figures.owed)))
    if figures.held:
        yield row("  of that to be given back, or kept by agreement", money(plan, figures.held))
    hours = f"{figures.hours:.1f} of {figures.planned_hours:.1f} h planned"
    yield row(f"  cost so far, {hours}", money(plan, figures.cost))
    yield row("  still to spend, by the plan", money(plan, figures.to_spend))
    if figures.not_recorded:
        count = len(figures.unrecorded)
        words = f"  not recorded, taken at the plan ({count} {'line' if count == 1 else 'lines'})"
        yield row(words, money(plan, figures.not_recorded))
    total = money(plan, figures.expected_cost)
    yield row(f"  cost in the end (planned {money(plan, figures.planned_cost)})", total)
    margin = "" if figures.margin is None else f" ({figures.margin:.1%} of the net price)"
    yield row(f"  margin to expect{margin}", money(plan, figures.kept), "1")


def _sums(found: Pieces) -> Iterator[str]:
    """Sums by currency, where several pieces are in hand."""
    for currency in dict.fromkeys(one.piece.plan.currency for one in found.rows):
        same = [one for one in found.rows if one.piece.plan.currency == currency]
        if len(same) < 2:
            continue
        plan = same[0].piece.plan
        named = (
            ("received so far", [one.figures.received for one in same]),
            ("cost so far", [one.figures.cost for one in same]),
            ("still to spend", [one.figures.to_spend for one in same]),
            ("margin to expect", [one.figures.kept for one in same]),
        )
        rows = [row(f"  {name}", money(plan, sum(amounts, amounts[0] * 0))) for name, amounts in named]
        yield "\n".join([bold(f"{len(same)} pieces together"), *rows])
