"""An issued quote and a change of it, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli import breakdown
from quoting.cli.amounts import money
from quoting.cli.terminal import bold, row, wrapped
from quoting.errors import one_line

if TYPE_CHECKING:
    from quoting.runs.changing import Asked, Changed
    from quoting.runs.pieces import Issue


def changed_text(found: Changed, asked: Asked) -> str:
    """The price of a change, and what the contract is then."""
    plan, rules = found.piece.plan, found.piece.sold.rules
    recorded = bool(asked.agreed or asked.mine)
    rows = [bold(one_line(f"{found.piece.number} change {found.position}: {asked.words or asked.job.name}"))]
    rows.append(row("  cost by the plan in force", money(plan, plan.cost["with_reserve"])))
    rows.append(row("  cost as changed", money(plan, found.plan.cost["with_reserve"])))
    ruled = (
        f"at the quote's margin of {rules.margin:.1%}"
        if found.asked.ruled_by == "margin"
        else "the least charge"
    )
    if not asked.mine:
        rows.append(row(f"  its price ({ruled})", money(plan, found.asked.total)))
    if found.agreed.total != found.asked.total:
        why = "your own change, not charged" if asked.mine else "as agreed"
        rows.append(row(f"  charged ({why})", money(plan, found.agreed.total)))
    rows.append(row("  contract " + ("now" if recorded else "then"), money(plan, found.contract.total), "1"))
    if not recorded:
        rows.append("Nothing is recorded. Once the client agrees: --agreed DAY; for your own account: --mine")
    return "\n".join(rows)


def issued_text(found: Issue) -> str:
    """An issued quote as it was, its history and its contract."""
    face, piece, plan = found.issued.face, found.piece, found.priced
    said = f"{found.issued.number} {face.title}: {piece.standing.words} since {piece.standing.since}"
    day, until = face.day.isoformat(), face.valid_until.isoformat()
    rows = [
        bold(wrapped(one_line(said), "")),
        wrapped(f"issued for {day}, valid until {until}, by quoting {found.issued.made_with['engine']}", ""),
    ]
    if len(piece.quotes) > 1:
        rows.append("revisions: " + ", ".join(str(one.number) for one in piece.quotes))
    if str(piece.number) != str(found.issued.number):
        rows.append(f"not the one that holds: {piece.number} does")
    rows += [
        f"{one.entry.day.isoformat()} change {one.change.position}, {one.change.ruled}: {one_line(one.entry.words)}"
        f" ({money(plan, one.change.total)})"
        for one in piece.changes
    ]
    rows.append(row("contract", money(plan, found.figures.contract.total)))
    return "\n".join(rows) + "\n\n" + breakdown.text(plan, short=True)
