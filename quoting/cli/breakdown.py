"""The breakdown on the terminal: by trade, then lines; the chain; what is not sure; cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.cli.shape import Bar, answer, bars, listed, moves, part, signed, warned
from quoting.cli.terminal import aside, block, blocks, counted, money, row, styled, whole_row, wrapped
from quoting.cut_plans.words import planned_words
from quoting.measures import shown
from quoting.measures.showing import hours_said, per_cent, plain_money
from quoting.pricing.in_brief import Share, in_brief
from quoting.pricing.lists import AS_ORDERED
from quoting.pricing.record import group_title

if TYPE_CHECKING:
    from quoting.pricing.record import Priced, PricedLine

MOST_UNSURE, MOST_ROWS, MOST_MOVES = 6, 8, 2


def price_answer(found: Priced) -> str:
    """The price first: what it is and leaves, where it goes, what moves the cost most, what to mind."""
    brief, first = in_brief(found), found.payments[0]
    many, ordered = len(found.payments), found.day.isoformat()
    figures = [
        (money(found, brief.total), "price, all in"),
        (money(found, brief.net), "before tax"),
        (per_cent(brief.margin), f"margin (floor {per_cent(brief.floor)})"),
        (money(found, first.total), f"first of {many} payments" if many > 1 else "to be paid at once"),
        (hours_said(brief.own_hours), "your hours"),
    ]
    figures += [] if brief.an_hour is None else [(money(found, brief.an_hour), "earned by each of them")]
    figures += [(money(found, brief.cash), "cash to lay out")]
    figures += [] if brief.ready is None else [(brief.ready.isoformat(), f"ready, ordered {ordered}")]
    rows = _where_it_goes(found, brief.shares)
    names = [name.replace("_", " ") for name in brief.cautions]
    minded = (
        part("What moves the cost most", moves(found, brief.moves[: MOST_ROWS + MOST_MOVES - len(rows)])),
        warned(brief.warnings),
        listed(f"{counted(len(names), 'caution')}  ", names),
    )
    goes = part("Where it goes", bars(rows), "before tax")
    return answer(_title(found), figures, goes, "\n".join(filter(None, minded)))


def _where_it_goes(found: Priced, shares: Sequence[Share]) -> list[Bar]:
    """A row a share, with the setting that moves it; the smallest in one where there are more than an answer holds."""
    alone = shares if len(shares) <= MOST_ROWS else shares[: MOST_ROWS - 1]
    rows = []
    for those in filter(None, (*((one,) for one in alone), shares[len(alone) :])):
        names = (f"{one.name} ({one.setting})" if one.setting else one.name for one in those)
        amount = sum((one.amount for one in those), Decimal(0))
        whole = f"{sum(one.per_cent for one in those)} %"
        rows.append(Bar(", ".join(names), float(amount), money(found, amount), whole))
    return rows


def breakdown(found: Priced, short: bool) -> str:
    """The whole breakdown."""
    warnings = (styled(wrapped(f"{one.field}: {one.words}", "  "), "33") for one in found.warnings)
    cautions = (wrapped(words, "  ") for _, words in found.cautions)
    payments = (
        row(f"  {one.name}{', ' + one.due if one.due else ''}", money(found, one.total))
        for one in found.payments
    )
    listed = ", ".join(f"[{section}] {count}" for section, count in found.starter_values.items())
    starter = f"Starter values stand in for what shop.toml leaves out: {listed}."
    return blocks(
        _head(found),
        *(group_text(found, group, short) for group in found.groups),
        chain_text(found),
        block("What it takes", _totals(found)),
        block("Payments", payments),
        block("To buy", _buying(found)),
        block("Options, in place of the piece as described", _options(found)),
        unsure_text(found),
        block("Warnings", warnings),
        block("Cautions", cautions),
        aside(starter) if listed else "",
    )


def _head(found: Priced) -> str:
    return block(_title(found), [f"priced for {found.day.isoformat()} in {found.currency}"])


def _title(found: Priced) -> str:
    """What is priced, for whom."""
    piece, client = found.job.piece, found.job.client
    who = f" for {client.name}" if client.name else ""
    many = f", {piece.quantity} pieces" if piece.quantity > 1 else ""
    return f"{found.number} {piece.title}{who}{many}".lstrip()


def group_text(found: Priced, group: str, short: bool, most: int | None = None) -> str:
    """The lines of a group, each with how its quantity was reached unless `short`; at `most` so many of them."""
    own = [line for line in found.lines if line.trade == group and (line.quantity or line.amount)]
    rows = [row(group_title(group).capitalize(), money(found, found.cost[group]), "1")]
    for line in own[:most]:
        name = line.item if line.part in (line.item, "the job") else f"{line.part}: {line.item}"
        if group in ("labour", "setback", "machine"):
            name = f"{line.part}: {line.id.rpartition('.')[2].replace('_', ' ').replace('-', ' ')}"
            name = line.part if name.endswith(": hours") else name
        note = "" if line.supplied == "bought" else f" ({line.supplied})"
        amount = f"{_quantity(line)} x {_rate(line)} = {money(found, line.amount)}"
        rows.append(whole_row(f"  {name}{note}", amount))
        if not short:
            rows.append(aside(f"{line.basis} [{line.source}]", "      "))
    if more := len(own) - len(own[:most]):
        rows.append(aside(f"and {counted(more, 'more line')}", "  "))
    return "\n".join(rows)


def _quantity(line: PricedLine) -> str:
    if line.unit == "h":
        return hours_said(line.quantity)
    return (
        f"{line.quantity:,.4g} {line.unit}" if line.quantity < 1000 else f"{line.quantity:,.0f} {line.unit}"
    )


def _rate(line: PricedLine) -> str:
    """An hour to the cent; a price in the book may be a part of one."""
    return f"{line.rate:,.2f}" if line.unit == "h" else plain_money(line.rate)


def chain_text(found: Priced) -> str:
    """The way from planned cost to total."""
    return block("From cost to price", _chain(found))


def _chain(found: Priced) -> Iterator[str]:
    chain, cost, rules = found.chain, found.cost, found.rules
    share = found.reserve_asked if "%" in found.reserve_asked else "8 in 10 builds cost less"
    yield row("  planned cost", money(found, cost["planned"]))
    yield row(f"  reserve ({share})", money(found, cost["reserve"]))
    yield row("  cost with reserve", money(found, cost["with_reserve"]))
    yield from (row(f"  fee: {name}", money(found, amount)) for name, amount in chain.fees.items())
    ruled = "" if chain.ruled_by == "margin" else f", ruled by the {chain.ruled_by}"
    goods = f"  price of the piece (asked margin {per_cent(rules.margin)}{ruled})"
    yield whole_row(goods, money(found, chain.goods))
    if chain.discount:
        yield row(f"  discount {found.job.price.why}".rstrip(), "-" + money(found, chain.discount))
    if chain.surcharge:
        extra = f"for {money(found, chain.delivery_extra)} more of a trip, its margin and fees"
        yield whole_row(f"  delivery surcharge ({extra})", money(found, chain.surcharge))
    yield row("  net", money(found, chain.net))
    if chain.tax:
        yield row(f"  {found.shop.tax.name} {per_cent(rules.tax, 3)}", money(found, chain.tax))
    yield row("  TOTAL", money(found, chain.total), "1")
    kept = f"margin {per_cent(chain.margin)} of the price, markup {per_cent(chain.markup)} on cost"
    yield wrapped(f"{kept} (floor {per_cent(rules.floor)})", "  ")


def _totals(found: Priced) -> Iterator[str]:
    cost, quantities = found.cost, found.quantities
    mass = shown(quantities["mass_kg"], "mass", found.shop.shop.units)
    labour, machines = (hours_said(quantities[name]) for name in ("labour_hours", "machine_hours"))
    work = f"{labour} of labour (without the trip), {machines} of machines"
    days = f"about {math.ceil(quantities['lead_days'] - 1e-9)} days to hand-over"
    yield row("  worth of everything in it", money(found, cost["replacement"]))
    yield row("  own cost, gifts at nothing", money(found, cost["own"]))
    yield row("  cash for things to buy, whole packs", money(found, cost["cash"]))
    yield wrapped(f"{work}, {quantities['bench_days']:.0f} days to build it, {days}, {mass} a piece", "  ")


def _buying(found: Priced) -> Iterator[str]:
    for line in found.buying:
        where = f" from {line.supplier}" if line.supplier else ""
        wait = f", {line.lead_days:g} days" if line.lead_days else ""
        cut = planned_words(found.plans, line.item, line.packs == AS_ORDERED, found.shop.shop.units)
        needed = f" for {line.needed:,.4g} needed" if line.needed < line.bought else ""
        packs = f"{cut} by the cut plan" if cut else line.packs
        order = f"{line.bought:,.4g} {line.unit} ({packs}){needed}"
        yield whole_row(f"  {line.item}: {order}{where}{wait}", money(found, line.amount))


def _options(found: Priced) -> Iterator[str]:
    for option in found.options:
        change = option.total - found.chain.total
        more = f"{'+' if change > 0 else '-' if change else ''}{money(found, abs(change))}"
        yield row(f"  {option.name} ({more})", money(found, option.total))


def unsure_text(found: Priced) -> str:
    """The uncertain inputs that move the cost most, each over its range."""
    rows, planned = [], float(found.cost["planned"])
    for one in found.unsure[:MOST_UNSURE]:
        ends = f"{signed(found, one.at_low - planned)} to {signed(found, one.at_high - planned)}"
        rows.append(wrapped(f"{one.name} {one.words}: cost from {ends} over its range", "  "))
    more = len(found.unsure) - MOST_UNSURE
    rows += [aside(f"and {more} more", "  ")] if more > 0 else []
    return block("What is not sure, largest first", rows)


def summary(found: Priced) -> str:
    """A few lines: total, margin, warnings."""
    draft = "" if found.number else "; draft, not numbered"
    rows = [f"total {money(found, found.chain.total)}, margin {per_cent(found.chain.margin)}{draft}"]
    rows += [styled(wrapped(f"warning: {one.field}: {one.words}"), "33") for one in found.warnings]
    return "\n".join(rows)
