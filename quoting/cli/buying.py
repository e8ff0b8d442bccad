"""The command that lists what to buy for several pieces in one errand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.happened import buying_data
from quoting.cli.app import Answer, Folder, Json, Out, Overwrite, arg, command, here, this_day
from quoting.cli.terminal import aside, block, blocks, bold, counted, money, whole_row, wrapped

if TYPE_CHECKING:
    from quoting.logbook.buying import Errand
    from quoting.runs.buying import BuyingList


@command("adding up")
def buying(
    named: Annotated[
        list[str] | None,
        arg("[JOB|NUMBER]...", "Job files, or issued quotes [default: all that are ordered]."),
    ] = None,
    out: Out = None,
    overwrite: Overwrite = False,
    as_json: Json = False,
    shop: Folder = None,
) -> Answer:
    """List what to buy for several pieces in one errand.

    By supplier, in packs for what all of them need together; what a log tells is there is not bought again.
    """
    from quoting.runs.buying import buying as recipe

    found = recipe(here(shop), this_day(), named or (), out, overwrite)
    return Answer(buying_data(found) if as_json else _text(found), found.written)


def _text(found: BuyingList) -> str:
    """What it comes to, then supplier by supplier, then what to write down."""
    title = f"To buy for {', '.join(found.pieces) or 'no piece'}"
    if not found.errands:
        return blocks(
            bold(title), "  nothing: no piece is ordered" if not found.pieces else "  nothing is lacking"
        )
    answer = f"{money(found.currency, found.amount)} to {counted(len(found.errands), 'supplier')}"
    if found.saved > 0 and len(found.pieces) > 1:
        answer += f"; {money(found.currency, found.saved)} less than piece by piece, as packs are shared"
    longest = max((one for errand in found.errands for one in errand.items), key=lambda one: one.lead_days)
    if longest.lead_days:
        answer += f"; the longest to come is {longest.item}, {longest.lead_days:g} days"
    return blocks(
        bold(title) + "\n" + wrapped(answer, "  "),
        *(block(_title(errand, found), _rows(errand, found)) for errand in found.errands),
        aside('What is bought: quoting log NUMBER paid AMOUNT --for ITEM --quantity "2 L"'),
    )


def _title(errand: Errand, found: BuyingList) -> str:
    return f"{errand.supplier or 'From no supplier named'}: {money(found.currency, errand.amount)}"


def _rows(errand: Errand, found: BuyingList) -> Iterator[str]:
    for one in errand.items:
        rest = (
            f" for {one.needed:.3g} {one.unit}" if abs(one.bought - one.needed) > 0.005 * one.needed else ""
        )
        how = f"{one.needed:.3g} {one.unit}" if not rest else f"{one.packs}{rest}"
        told = [f"{share.name} {share.left:.3g}" for share in one.shares if share.left]
        told += [
            f"{share.name} has {share.had:.3g}" for share in one.shares if share.had > 0.005 * share.needed
        ]
        whose = (
            f" ({', '.join(told)})"
            if len(found.pieces) > 1 or any(" has " in words for words in told)
            else ""
        )
        yield whole_row(f"  {one.item}: {how}{whose}", money(found.currency, one.amount))
    if errand.carriage:
        yield whole_row(
            "  carriage: the order is too small to come free", money(found.currency, errand.carriage)
        )
