"""The ledger on the terminal: work in hand, entries, changes, an issued quote."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.cli import breakdown
from quoting.cli.terminal import bold, dim, row, whole_row, wrapped
from quoting.measures import shown
from quoting.money import printed
from quoting.review.filled import follows

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced
    from quoting.review.filled import Filled
    from quoting.review.in_hand import InHand
    from quoting.runs.changing import Asked, Changed
    from quoting.runs.log import Logged, Shown
    from quoting.runs.pieces import Issue, Pieces, Row

KIND_WORDS = {"state": "is", "change": "change", "void": "takes back"}


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
    return "\n".join([bold(wrapped(heading, "")), *_figures(figures, plan)])


def _figures(figures: InHand, plan: Priced) -> Iterator[str]:
    contract = figures.contract
    name = "price agreed" if contract.firm else "price asked"
    yield row(f"  {name}" + (" (tax in it)" if contract.tax else ""), _money(plan, contract.total))
    yield row("  received so far", _money(plan, figures.received))
    if figures.owed:
        words = "still to come in" if figures.owed > 0 else "received too much"
        yield row(f"  {words}", _money(plan, abs(figures.owed)))
    if figures.held:
        yield row("  of that to be given back, or kept by agreement", _money(plan, figures.held))
    hours = f"{figures.hours:.1f} of {figures.planned_hours:.1f} h planned"
    yield row(f"  cost so far, {hours}", _money(plan, figures.cost))
    yield row("  still to spend, by the plan", _money(plan, figures.to_spend))
    if figures.not_recorded:
        count = len(figures.unrecorded)
        words = f"  not recorded, taken at the plan ({count} {'line' if count == 1 else 'lines'})"
        yield row(words, _money(plan, figures.not_recorded))
    total = _money(plan, figures.expected_cost)
    yield row(f"  cost in the end (planned {_money(plan, figures.planned_cost)})", total)
    margin = "" if figures.margin is None else f" ({figures.margin:.1%} of the net price)"
    yield row(f"  margin to expect{margin}", _money(plan, figures.kept), "1")


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
        rows = [row(f"  {name}", _money(plan, sum(amounts, amounts[0] * 0))) for name, amounts in named]
        yield "\n".join([bold(f"{len(same)} pieces together"), *rows])


def shown_text(found: Shown) -> str:
    """Entries, oldest first, and the figures of the piece."""
    gone = {entry.counters: entry.id for entry in found.entries if entry.counters}
    head = (
        "The shop"
        if found.piece is None
        else f"{found.name} {found.piece.quote.face.title}: {found.piece.standing.words}"
    )
    rows = [bold(head)]
    rows += [
        _entry_row(entry, gone.get(entry.id), found)
        for entry in sorted(found.entries, key=lambda one: (one.day, one.id))
    ]
    if not found.entries:
        rows.append("  nothing was logged yet")
    if found.piece is not None and found.figures is not None:
        rows += ["", bold("Where it stands"), *_figures(found.figures, found.piece.plan)]
        rows += _filled_rows(found.figures, found.piece.plan)
    return "\n".join(rows)


def _entry_row(entry: Entry, taken_back: int | None, found: Shown) -> str:
    words = f"  {entry.id:>4} {entry.day.isoformat()} {entry_words(entry)}"
    if taken_back is not None:
        words += f" [taken back by {taken_back}]"
    amount = ""
    if entry.money is not None:
        currency = "" if found.piece is None else found.piece.plan.currency
        amount = (
            _money(found.piece.plan, entry.money)
            if found.piece is not None
            else f"{entry.money} {currency}".strip()
        )
    line = whole_row(words, amount, " " * 7)
    return dim(line) if taken_back is not None or entry.kind == "void" else line


def entry_words(entry: Entry) -> str:
    """An entry in a few words."""
    if entry.kind == "void":
        return f"takes back {entry.counters}" + (f": {entry.words}" if entry.words else "")
    if entry.kind == "state":
        option = f", option {entry.item}" if entry.item else ""
        return f"is {entry.said}{option}" + (f" ({entry.words})" if entry.words else "")
    parts = [entry.kind, *_how_much(entry)]
    where = entry.line or " ".join(part for part in (entry.task, entry.item, entry.part, entry.stage) if part)
    if where and where not in entry.said:
        parts.append(f"{'on' if entry.kind in ('hours', 'machine') else 'for'} {where}")
    parts += [f"round {entry.round}"] if entry.round else []
    parts += [f"{entry.plies} plies"] if entry.plies is not None else []
    parts += [f"{entry.hours:g} h"] if entry.hours else []
    parts += [f"by {entry.who}"] if entry.who and entry.kind in ("hours", "trip", "setback") else []
    parts += ["about"] if entry.about else []
    parts += [f"receipt {entry.receipt}"] if entry.receipt else []
    parts += [f"({entry.words})"] if entry.words else []
    return " ".join(parts)


def _how_much(entry: Entry) -> list[str]:
    """The amount of an entry as it was written; hours and quantities bought in their unit."""
    if entry.kind in ("hours", "machine", "paid", "credited"):
        if entry.amount is None:
            return []
        return [shown(entry.amount, "time") if entry.unit == "h" else f"{entry.amount:,.4g} {entry.unit}"]
    return [entry.said] if entry.said and entry.kind not in ("received", "refunded", "change") else []


def _filled_rows(figures: InHand, plan: Priced) -> Iterator[str]:
    """Lines of which entries speak: planned and actual quantity, actual cost."""
    spoken = [one for one in figures.lines if one.logged and not follows(one.line)]
    if not spoken:
        return
    yield ""
    yield bold("Lines filled, planned and so far")
    for one in spoken:
        told = _quantity(one, one.quantity or one.bought) if one.quantity or one.bought else "paid"
        yield whole_row(
            f"  {one.line.id}: {_quantity(one, one.line.quantity)}, so far {told}",
            _money(plan, one.amount),
        )
    if figures.unrecorded:
        yield dim(wrapped(f"not recorded: {', '.join(figures.unrecorded)}", "  "))


def _quantity(one: Filled, quantity: float) -> str:
    return f"{quantity:,.4g} {one.line.measure}"


def logged_text(done: Logged, file: str = "") -> str:
    """What was added, and what a file had added before."""
    rows = (
        [f"logged {entry.id}: {entry.day.isoformat()} {entry_words(entry)}" for entry in done.added]
        if not file
        else []
    )
    if file:
        count = len(done.added)
        rows.append(f"{file}: {count} {'entry' if count == 1 else 'entries'} added")
    if done.there_already:
        lines = ", ".join(str(line) for line, _ in done.there_already[:12])
        more = f" and {len(done.there_already) - 12} more" if len(done.there_already) > 12 else ""
        rows.append(wrapped(f"rows {lines}{more} are in the ledger already, and were left out", ""))
        others = {source.rpartition(":")[0] for _, source in done.there_already} - {file}
        if others:
            rows.append(
                wrapped(
                    f"they came from {', '.join(sorted(others))}; if they are new, tell them apart by a note",
                    "",
                )
            )
    return "\n".join(rows)


def changed_text(found: Changed, asked: Asked) -> str:
    """The price of a change, and what the contract is then."""
    plan, rules = found.piece.plan, found.piece.sold.rules
    recorded = bool(asked.agreed or asked.mine)
    rows = [bold(f"{found.piece.number} change {found.position}: {asked.words or asked.job.name}")]
    rows.append(row("  cost by the plan in force", _money(plan, plan.cost["with_reserve"])))
    rows.append(row("  cost as changed", _money(plan, found.plan.cost["with_reserve"])))
    ruled = (
        f"at the quote's margin of {rules.margin:.1%}"
        if found.asked.ruled_by == "margin"
        else "the least charge"
    )
    if not asked.mine:
        rows.append(row(f"  its price ({ruled})", _money(plan, found.asked.total)))
    if found.agreed.total != found.asked.total:
        why = "your own change, not charged" if asked.mine else "as agreed"
        rows.append(row(f"  charged ({why})", _money(plan, found.agreed.total)))
    rows.append(row("  contract " + ("now" if recorded else "then"), _money(plan, found.contract.total), "1"))
    if not recorded:
        rows.append("Nothing is recorded. Once the client agrees: --agreed DAY; for your own account: --mine")
    return "\n".join(rows)


def issued_text(found: Issue) -> str:
    """An issued quote as it was, its history and its contract."""
    face, piece, plan = found.issued.face, found.piece, found.priced
    rows = [
        bold(f"{found.issued.number} {face.title}: {piece.standing.words} since {piece.standing.since}"),
        f"issued for {face.day.isoformat()}, valid until {face.valid_until.isoformat()}, by quoting {found.issued.made_with['engine']}",
    ]
    if len(piece.quotes) > 1:
        rows.append("revisions: " + ", ".join(str(one.number) for one in piece.quotes))
    if str(piece.number) != str(found.issued.number):
        rows.append(f"not the one that holds: {piece.number} does")
    rows += [
        f"{one.entry.day.isoformat()} change {one.change.position}, {one.change.ruled}: {one.entry.words}"
        f" ({_money(plan, one.change.total)})"
        for one in piece.changes
    ]
    rows.append(row("contract", _money(plan, found.figures.contract.total)))
    return "\n".join(rows) + "\n\n" + breakdown.text(plan, short=True)


def _money(plan: Priced, amount: Decimal) -> str:
    return printed(amount, plan.currency, plan.shop.shop.locale)
