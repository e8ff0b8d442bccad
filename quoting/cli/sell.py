"""The command that says what a piece can be sold for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import sell_data
from quoting.cli.app import Answer, Details, Json, Overwrite, Settings, Shop, arg, command, same, this_day
from quoting.cli.shape import answer, part
from quoting.cli.terminal import (
    aside,
    block,
    blocks,
    heading,
    money,
    row,
    whole_row,
    width,
    wrapped,
)
from quoting.measures.showing import as_far, far, per_cent

if TYPE_CHECKING:
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Outcome
    from quoting.runs.sell import Found


@command("pricing")
def sell(
    piece: Annotated[
        str, arg("JOB|NUMBER", "A job file, or an issued quote: then what really happened counts.")
    ],
    shop: Shop = None,
    setting: Settings = None,
    price: Annotated[str, arg("--price", "What is left of this price, as you show your prices?", "P")] = "",
    channel: Annotated[
        str, arg("--channel", "The channel the first figures speak of [default: the job's].", "NAME")
    ] = "",
    out: Annotated[
        Path | None, arg("--out", "Write a price card (PDF) and an offer record (JSON-LD) there.", "FOLDER")
    ] = None,
    overwrite: Overwrite = False,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say what a finished or planned piece can be sold for.

    Still to spend, spent, cost, target price; then list price, price at the floor and room to haggle through each channel.
    """
    from quoting.runs.finding import job_or_number
    from quoting.runs.sell import sell as recipe

    found = recipe(
        job_or_number(piece, shop),
        shop,
        this_day(),
        Path.cwd(),
        setting or (),
        price,
        channel,
        out,
        overwrite,
    )
    said = (sell_data if as_json else _text if details else _answer)(found)
    asked = [
        word
        for name, value in (("--price", price), ("--channel", channel))
        if value
        for word in (name, value)
    ]
    papers = ["sell", piece, *asked, *same(shop, setting), "--out", PAPERS]
    after = [] if found.piece.gone or out is not None or found.own.list_price is None else papers
    return Answer(said, found.written, next=after, brief=not details)


PAPERS = "for-sale"
"""The folder that a price card is offered to be written to."""

COLUMN, TABLE = 13, 78
"""Columns of a figure, and of the table of channels; where there are fewer, each is told in words."""


def _answer(found: Found) -> str:
    """The target price and what it leaves; then a row a channel."""
    plan, spending, own = found.piece.priced, found.piece.spending, found.own
    target = own.list_price
    figures = [
        (money(plan, target.seen) if target else "none", f"target price ({own.name}, margin {per_cent(own.rules.margin)})"),
        (money(plan, own.cost), "cost, your pay in it"),
        (money(plan, spending.cash_to_spend), "cash still to spend"),
        (money(plan, spending.cash_spent), "cash spent"),
    ]  # fmt: skip
    sold = [] if found.asked is None else [("Sold at", found.asked)]
    sold += [("You expect it to fetch", one) for one in found.expected]
    return answer(
        _title(found),
        figures,
        *(part(f"{words} {money(plan, one.sale.seen)}", _outcome(found, one)) for words, one in sold),
        part("Through each channel", _channels(plan, found.channels)),
        wrapped(f"No price: {own.trouble}.") if own.trouble else "",
    )


def _channels(plan: Priced, channels: Sequence[Selling]) -> Iterator[str]:
    """List price, the least one, what may come off, and what reaches the hand; words where a channel has no price."""
    heads = ("list price", "at the floor", "may come off", "in hand")
    if width() >= TABLE:
        yield row("", _columns(heads))
    for one in channels:
        if one.list_price is None or one.floor_price is None:
            yield wrapped(f"{one.name}: no price, {one.trouble}", "  ")
            continue
        figures = (one.list_price.seen, one.floor_price.seen, one.haggle, one.list_price.in_hand)
        told = [money(plan, figure) for figure in figures]
        if width() >= TABLE:
            yield whole_row(f"  {one.name}", _columns(told))
            continue
        words = (f"{head} {figure}" for head, figure in zip(heads, told, strict=True))
        yield wrapped(f"{one.name}: {', '.join(words)}", "  ")


def _columns(words: Sequence[str]) -> str:
    return "".join(f"{one:>{COLUMN}}" for one in words)


def _title(found: Found) -> str:
    return (
        f"What {found.piece.priced.job.piece.title} can be sold for ({found.piece.name}, {found.piece.state})"
    )


def _text(found: Found) -> str:
    """Plain figures first; then the prices asked about, then every channel."""
    plan = found.piece.priced
    sold = [] if found.asked is None else [("Sold at", found.asked)]
    sold += [("You expect it to fetch", one) for one in found.expected]
    tax = "with tax" if found.own.rules.included else "before tax"
    cash = "Cash is what goes to others: bought things, outside work, carriage, helpers."
    return blocks(
        heading(_title(found)),
        "\n".join(_plain(found)),
        *(block(f"{words} {money(plan, one.sale.seen)}", _outcome(found, one)) for words, one in sold),
        *(block(f"Through {one.name}", _channel(plan, one)) for one in found.channels),
        aside(f"Prices are as you show them, {tax}. {cash}"),
    )


def _plain(found: Found) -> Iterator[str]:
    plan, spending, own = found.piece.priced, found.piece.spending, found.own
    yield row("  still to spend, in cash", money(plan, spending.cash_to_spend))
    yield row("  cash spent", money(plan, spending.cash_spent))
    if spending.not_recorded:
        yield row("  cash that nobody recorded, at the plan", money(plan, spending.not_recorded))
    what = "own pay, overhead and delivery" if own.delivers else "own pay and overhead"
    reserve = f", reserve {money(plan, spending.reserve)}" if spending.reserve else ""
    yield row(f"  cost with {what}{reserve}", money(plan, own.cost))
    target = f"  target price ({found.own.name}, margin {per_cent(own.rules.margin)})"
    yield row(target, money(plan, own.list_price.seen) if own.list_price else "none", "1")
    if own.trouble:
        yield wrapped(f"No price: {own.trouble}.", "    ")


def _outcome(found: Found, one: Outcome) -> Iterator[str]:
    yield row("  stays in hand after tax, fees and all cash", money(found.piece.priced, one.in_hand))
    if one.an_hour is not None:
        told = f"  an hour of yours earned, all else paid, of {found.piece.spending.own_hours:.1f} h"
        yield row(told, money(found.piece.priced, one.an_hour))
    if one.margin is not None:
        under = one.margin < float(found.own.rules.floor)
        yield row(f"  margin{', below the floor' if under else ''}", per_cent(one.margin))


def _channel(plan: Priced, one: Selling) -> Iterator[str]:
    if one.list_price is None or one.floor_price is None or one.pickup is None:
        yield wrapped(f"no price: {one.trouble}", "  ")
        return
    free = far(plan.shop.delivery.free_distance, plan.shop.shop.units)
    where = f"delivered within {free}" if one.delivers else "the buyer fetches it"
    keeps = f"  list price that keeps {per_cent(one.rules.margin)}, {where}"
    yield row(keeps, money(plan, one.list_price.seen), "1")
    if one.delivers:
        yield row("  list price where the buyer fetches it", money(plan, one.pickup.seen))
    yield row(f"  price at the floor of {per_cent(one.rules.floor)}", money(plan, one.floor_price.seen))
    fees = f"fees of {money(plan, one.list_price.fees)} and tax off"
    yield row(f"  reaches your hand of the list price, {fees}", money(plan, one.list_price.in_hand))
    yield row("  may come off the list price", f"{money(plan, one.haggle)} ({per_cent(one.haggle_share)})")
    if one.radius is not None:
        reach = (as_far(at, plan.shop.shop.units) for at in (one.radius.at_floor, one.radius.at_margin))
        yield row("  free delivery that the list price can bear, floor and asked", ", ".join(reach))
