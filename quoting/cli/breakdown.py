"""The breakdown on the terminal: by trade, then lines; the chain; what is not sure; cautions."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from quoting.cli.amounts import money
from quoting.cli.terminal import bold, dim, row, styled, whole_row, wrapped
from quoting.cut_plans.words import planned_words
from quoting.errors import one_line
from quoting.measures import shown
from quoting.pricing.lists import AS_ORDERED
from quoting.pricing.sentences import group_title, plain_money

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.pricing.record import Priced, RateShown

MOST_UNSURE = 6


def text(result: Priced, short: bool) -> str:
    """The whole breakdown."""
    groups = [group_text(result, group, short) for group in result.groups]
    blocks = [_head(result), *groups, chain_text(result), _totals(result)]
    blocks += [_payments(result), _buying(result), _options(result), unsure_text(result), _notes(result)]
    return "\n\n".join(block for block in blocks if block)


def _head(result: Priced) -> str:
    piece, client = result.job.piece, result.job.client
    who = f" for {client.name}" if client.name else ""
    many = f", {piece.quantity} pieces" if piece.quantity > 1 else ""
    number = f"{result.number} " if result.number else ""
    return (
        bold(wrapped(one_line(f"{number}{piece.title}{who}{many}"), ""))
        + f"\npriced for {result.day.isoformat()} in {result.currency}"
    )


def group_text(result: Priced, group: str, short: bool, most: int | None = None) -> str:
    """The lines of a group, each with how its quantity was reached unless `short`; at `most` so many of them."""
    own = [line for line in result.lines if line.trade == group and (line.quantity or line.amount)]
    rows = [row(group_title(group).capitalize(), money(result, result.cost[group]), "1")]
    for line in own[:most]:
        name = line.item if line.part in (line.item, "the job") else f"{line.part}: {line.item}"
        if group in ("labour", "setback", "machine"):
            name = f"{line.part}: {line.id.rpartition('.')[2].replace('_', ' ').replace('-', ' ')}"
            name = line.part if name.endswith(": hours") else name
        note = "" if line.supplied == "bought" else f" ({line.supplied})"
        quantity = f"{line.quantity:,.4g}" if line.quantity < 1000 else f"{line.quantity:,.0f}"
        rate = plain_money(line.rate)
        rows.append(
            whole_row(f"  {name}{note}", f"{quantity} {line.unit} x {rate} = {money(result, line.amount)}")
        )
        if not short:
            rows.append(dim(wrapped(f"{line.basis} [{line.source}]", "      ")))
    if more := len(own) - len(own[:most]):
        rows.append(dim(f"  and {more} more {'line' if more == 1 else 'lines'}"))
    return "\n".join(rows)


def chain_text(result: Priced) -> str:
    """The way from planned cost to total."""
    chain, cost, rules = result.chain, result.cost, result.rules
    share = result.contingency if "%" in result.contingency else "8 in 10 builds cost less"
    rows = [
        bold("From cost to price"),
        row("  planned cost", money(result, cost["planned"])),
        row(f"  reserve ({share})", money(result, cost["reserve"])),
        row("  cost with reserve", money(result, cost["with_reserve"])),
    ]
    rows += [row(f"  fee: {name}", money(result, amount)) for name, amount in chain.fees.items()]
    ruled = "" if chain.ruled_by == "margin" else f", ruled by the {chain.ruled_by}"
    goods = f"  price of the piece (asked margin {rules.margin:.1%}{ruled})"
    rows.append(whole_row(goods, money(result, chain.goods)))
    if chain.discount:
        rows.append(row(f"  discount {result.job.price.why}".rstrip(), "-" + money(result, chain.discount)))
    if chain.surcharge:
        words = f"  delivery surcharge (for {money(result, chain.delivery_extra)} more of a trip, its margin and fees)"
        rows.append(whole_row(words, money(result, chain.surcharge)))
    rows.append(row("  net", money(result, chain.net)))
    if chain.tax:
        rows.append(row(f"  {result.shop.tax.name} {float(rules.tax) * 100:.4g} %", money(result, chain.tax)))
    rows.append(row("  TOTAL", money(result, chain.total), "1"))
    left = (
        f"margin {chain.margin:.1%} of the price, markup {chain.markup:.1%} on cost (floor {rules.floor:.1%})"
    )
    rows.append(wrapped(left, "  "))
    return "\n".join(rows)


def _totals(result: Priced) -> str:
    cost, quantities = result.cost, result.quantities
    mass = shown(quantities["mass_kg"], "mass", result.shop.shop.units)
    return "\n".join(
        [
            bold("What it takes"),
            row("  worth of everything in it", money(result, cost["replacement"])),
            row("  own cost, gifts at nothing", money(result, cost["own"])),
            row("  cash for things to buy, whole packs", money(result, cost["cash"])),
            wrapped(
                f"{quantities['labour_hours']:.1f} h of labour (without the trip), {quantities['machine_hours']:.1f} h of"
                f" machines, {quantities['bench_days']:.0f} days to build it, about {math.ceil(quantities['lead_days'] - 1e-9)} days"
                f" to hand-over, {mass} a piece",
                "  ",
            ),
        ]
    )


def _payments(result: Priced) -> str:
    rows = [
        row(f"  {paid.name}{', ' + paid.due if paid.due else ''}", money(result, paid.total))
        for paid in result.payments
    ]
    return "\n".join([bold("Payments"), *rows])


def _buying(result: Priced) -> str:
    if not result.buying:
        return ""
    rows = []
    for line in result.buying:
        where = f" from {line.supplier}" if line.supplier else ""
        wait = f", {line.lead_days:g} days" if line.lead_days else ""
        cut = planned_words(result.plans, line.item, line.packs == AS_ORDERED, result.shop.shop.units)
        needed = f" for {line.needed:,.4g} needed" if line.needed < line.bought else ""
        packs = f"{cut} by the cut plan" if cut else line.packs
        order = f"{line.bought:,.4g} {line.unit} ({packs}){needed}"
        rows.append(whole_row(f"  {line.item}: {order}{where}{wait}", money(result, line.amount)))
    return "\n".join([bold("To buy"), *rows])


def _options(result: Priced) -> str:
    if not result.options:
        return ""
    rows = []
    for option in result.options:
        change = option.total - result.chain.total
        sign = "+" if change >= 0 else "-"
        rows.append(row(f"  {option.name} ({sign}{money(result, abs(change))})", money(result, option.total)))
    return "\n".join([bold("Options, in place of the piece as described"), *rows])


def unsure_text(result: Priced) -> str:
    """The uncertain inputs that move the cost most, each over its range."""
    if not result.unsure:
        return ""
    planned = float(result.cost["planned"])
    rows = [
        wrapped(
            f"{one.name} {one.words}: cost from {one.at_low - planned:+,.0f} to {one.at_high - planned:+,.0f} over its range",
            "  ",
        )
        for one in result.unsure[:MOST_UNSURE]
    ]
    more = len(result.unsure) - MOST_UNSURE
    rows += [dim(f"  and {more} more")] if more > 0 else []
    return "\n".join([bold("What is not sure, largest first"), *rows])


def _notes(result: Priced) -> str:
    rows: list[str] = []
    if result.warnings:
        rows += [
            bold("Warnings"),
            *(styled(wrapped(f"{one.field}: {one.words}", "  "), "33") for one in result.warnings),
            "",
        ]
    if result.cautions:
        rows += [bold("Cautions"), *(wrapped(words, "  ") for _, words in result.cautions)]
        rows.append("")
    if result.starter_values:
        listed = ", ".join(f"[{section}] {count}" for section, count in result.starter_values.items())
        rows.append(dim(wrapped(f"Starter values stand in for what shop.toml leaves out: {listed}.", "")))
    return "\n".join(rows).rstrip()


def summary(result: Priced) -> str:
    """A few lines: total, margin, warnings."""
    rows = [
        f"total {money(result, result.chain.total)}, margin {result.chain.margin:.1%}"
        f"{'' if result.number else '; draft, not numbered'}"
    ]
    rows += [styled(f"warning: {one.field}: {one.words}", "33") for one in result.warnings]
    return "\n".join(rows)


def rates_text(rates: Iterable[RateShown], doubles: list[str], currency: str) -> str:
    """The rates of a shop."""
    rows = [bold(f"An hour in {currency}")]
    for rate in rates:
        rows += [row(f"  {rate.name}", f"{rate.per_hour:,.2f}"), dim(wrapped(rate.words, "      "))]
    if doubles:
        rows += ["", bold("Counted twice?"), *(wrapped(words, "  ") for words in doubles)]
    return "\n".join(rows)
