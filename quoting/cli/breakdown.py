"""The breakdown on the terminal: by trade, then lines; the chain; what is not sure; cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.cli.terminal import aside, block, blocks, counted, money, row, styled, whole_row, wrapped
from quoting.cut_plans.words import planned_words
from quoting.measures import shown
from quoting.measures.showing import plain_money
from quoting.pricing.lists import AS_ORDERED
from quoting.pricing.record import group_title

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

MOST_UNSURE = 6


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
    piece, client = found.job.piece, found.job.client
    who = f" for {client.name}" if client.name else ""
    many = f", {piece.quantity} pieces" if piece.quantity > 1 else ""
    number = f"{found.number} " if found.number else ""
    day = f"priced for {found.day.isoformat()} in {found.currency}"
    return block(f"{number}{piece.title}{who}{many}", [day])


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
        quantity = f"{line.quantity:,.4g}" if line.quantity < 1000 else f"{line.quantity:,.0f}"
        amount = f"{quantity} {line.unit} x {plain_money(line.rate)} = {money(found, line.amount)}"
        rows.append(whole_row(f"  {name}{note}", amount))
        if not short:
            rows.append(aside(f"{line.basis} [{line.source}]", "      "))
    if more := len(own) - len(own[:most]):
        rows.append(aside(f"and {counted(more, 'more line')}", "  "))
    return "\n".join(rows)


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
    goods = f"  price of the piece (asked margin {rules.margin:.1%}{ruled})"
    yield whole_row(goods, money(found, chain.goods))
    if chain.discount:
        yield row(f"  discount {found.job.price.why}".rstrip(), "-" + money(found, chain.discount))
    if chain.surcharge:
        extra = f"for {money(found, chain.delivery_extra)} more of a trip, its margin and fees"
        yield whole_row(f"  delivery surcharge ({extra})", money(found, chain.surcharge))
    yield row("  net", money(found, chain.net))
    if chain.tax:
        yield row(f"  {found.shop.tax.name} {float(rules.tax) * 100:.4g} %", money(found, chain.tax))
    yield row("  TOTAL", money(found, chain.total), "1")
    kept = f"margin {chain.margin:.1%} of the price, markup {chain.markup:.1%} on cost"
    yield wrapped(f"{kept} (floor {rules.floor:.1%})", "  ")


def _totals(found: Priced) -> Iterator[str]:
    cost, quantities = found.cost, found.quantities
    mass = shown(quantities["mass_kg"], "mass", found.shop.shop.units)
    work = f"{quantities['labour_hours']:.1f} h of labour (without the trip), {quantities['machine_hours']:.1f} h of machines"
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
        more = f"{'+' if change >= 0 else '-'}{money(found, abs(change))}"
        yield row(f"  {option.name} ({more})", money(found, option.total))


def unsure_text(found: Priced) -> str:
    """The uncertain inputs that move the cost most, each over its range."""
    rows, planned = [], float(found.cost["planned"])
    for one in found.unsure[:MOST_UNSURE]:
        ends = f"{one.at_low - planned:+,.0f} to {one.at_high - planned:+,.0f}"
        rows.append(wrapped(f"{one.name} {one.words}: cost from {ends} over its range", "  "))
    more = len(found.unsure) - MOST_UNSURE
    rows += [aside(f"and {more} more", "  ")] if more > 0 else []
    return block("What is not sure, largest first", rows)


def summary(found: Priced) -> str:
    """A few lines: total, margin, warnings."""
    draft = "" if found.number else "; draft, not numbered"
    rows = [f"total {money(found, found.chain.total)}, margin {found.chain.margin:.1%}{draft}"]
    rows += [styled(f"warning: {one.field}: {one.words}", "33") for one in found.warnings]
    return "\n".join(rows)
