"""What a piece can be sold for, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import money
from quoting.cli.distances import far, radius_said
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line
from quoting.money import exact

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.channels import Selling
    from quoting.pricing.sale import Outcome, Sale
    from quoting.runs.sell import Found


def sell_text(found: Found) -> str:
    """Plain figures first; then the prices asked about, then every channel."""
    title = one_line(f"What {found.priced.job.piece.title} can be sold for ({found.name}, {found.state})")
    blocks = [bold(wrapped(title, "")), _plain(found)]
    if found.asked is not None:
        blocks.append(_outcome(found, "Sold at", found.asked))
    if found.expected:
        blocks.append("\n\n".join(_outcome(found, "You expect it to fetch", one) for one in found.expected))
    blocks += [_channel(found, one) for one in found.channels]
    tax = "with tax" if found.own.rules.included else "before tax"
    note = f"Prices are as you show them, {tax}. Cash is what goes to others: bought things, outside work, carriage, helpers."
    return "\n\n".join([*blocks, dim(wrapped(note, ""))])


def _plain(found: Found) -> str:
    spending, own = found.spending, found.own
    rows = [
        row("  still to spend, in cash", _money(found, spending.cash_to_spend)),
        row("  cash spent", _money(found, spending.cash_spent)),
    ]
    if spending.not_recorded:
        rows.append(row("  cash that nobody recorded, at the plan", _money(found, spending.not_recorded)))
    what = "own pay, overhead and delivery" if own.delivers else "own pay and overhead"
    reserve = f", reserve {_money(found, spending.reserve)}" if spending.reserve else ""
    rows.append(row(f"  cost with {what}{reserve}", _money(found, own.cost)))
    target = f"  target price ({found.channel}, margin {own.rules.margin:.1%})"
    rows.append(row(target, _seen(found, own.list_price) if own.list_price else "none", "1"))
    if own.trouble:
        rows.append(wrapped(f"No price: {own.trouble}.", "    "))
    return "\n".join(rows)


def _outcome(found: Found, words: str, one: Outcome) -> str:
    rows = [bold(f"{words} {_seen(found, one.sale)}")]
    rows.append(row("  stays in hand after tax, fees and all cash", _money(found, one.in_hand)))
    if one.an_hour is not None:
        told = f"  an hour of yours earned, all else paid, of {found.spending.own_hours:.1f} h"
        rows.append(row(told, _money(found, one.an_hour)))
    if one.margin is not None:
        under = one.margin < float(found.own.rules.floor)
        rows.append(row(f"  margin{', below the floor' if under else ''}", f"{one.margin:.1%}"))
    return "\n".join(rows)


def _channel(found: Found, one: Selling) -> str:
    rows = [bold(one_line(f"Through {one.name}"))]
    if one.trouble:
        return "\n".join([*rows, wrapped(f"no price: {one.trouble}", "  ")])
    rows += list(_prices(found, one))
    return "\n".join(rows)


def _prices(found: Found, one: Selling) -> Iterator[str]:
    rules = one.rules
    if one.list_price is None or one.floor_price is None or one.pickup is None:
        return
    radius = found.priced.shop.delivery.free_radius
    where = f"delivered within {far(found.priced.shop, radius)}" if one.delivers else "the buyer fetches it"
    yield row(f"  list price that keeps {rules.margin:.1%}, {where}", _seen(found, one.list_price), "1")
    if one.delivers:
        yield row("  list price where the buyer fetches it", _seen(found, one.pickup))
    yield row(f"  price at the floor of {rules.floor:.1%}", _seen(found, one.floor_price))
    fees = _money(found, float(one.list_price.fees))
    yield row(
        f"  reaches your hand of the list price, fees of {fees} and tax off",
        _money(found, float(one.list_price.in_hand)),
    )
    yield row("  may come off the list price", f"{_money(found, float(one.haggle))} ({one.haggle_share:.1%})")
    if one.radius is not None:
        floor, asked = (
            radius_said(found.priced.shop, at) for at in (one.radius.at_floor, one.radius.at_margin)
        )
        yield row("  free delivery that the list price can bear, floor and asked", f"{floor}, {asked}")


def _seen(found: Found, sale: Sale) -> str:
    return money(found.priced, sale.seen)


def _money(found: Found, amount: float) -> str:
    return money(found.priced, exact(amount, found.priced.digits))
