"""The command that takes prices which were paid over into the price file."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

from quoting.cli.app import Answer, Folder, arg, command, here
from quoting.cli.terminal import counted, progress, whole_row, wrapped

if TYPE_CHECKING:
    from quoting.runs.paid import Offer


@command("reading the ledger")
def prices(
    yes: Annotated[bool, arg("--yes", "Write all of them, without asking one by one.")] = False,
    shop: Folder = None,
) -> Answer:
    """Write prices that you paid into prices.csv, one by one.

    What was logged as paid with its quantity, the newest for each item, where prices.csv says something else and is not newer.
    """
    from quoting.runs.paid import prices_paid, take_over

    folder = here(shop)
    found = prices_paid(folder)
    if not found.offers:
        told = "log what you pay with its quantity: quoting log NUMBER paid 72.50 ITEM --quantity TEXT"
        return Answer(wrapped(f"Nothing to write: prices.csv says what was paid last, or is newer; {told}."))
    if not yes and not sys.stdin.isatty():
        rows = [whole_row(_row(one), f"{one.new}") for one in found.offers]
        told = "nothing was written; write them with --yes, or run it on a terminal to be asked one by one"
        return Answer("\n".join(["Prices paid, a unit (prices.csv)", *rows]), more=wrapped(told))
    chosen = found.offers if yes else _asked(found.offers)
    if not chosen:
        return Answer("Nothing was written.")
    done = take_over(folder, chosen, found.shown)
    rows = [whole_row(_row(one), f"{one.new}") for one in chosen]
    wrong = [wrapped(f"to put right: {one}") for one in done.problems]
    head = f"Wrote {counted(len(chosen), 'price')} into prices.csv; issued quotes stay as they are"
    return Answer("\n".join([head, *rows, *wrong]))


def _row(one: Offer) -> str:
    """An item, what prices.csv says, and where the new price comes from."""
    from quoting.measures.showing import plain_money

    source = ", ".join(filter(None, (one.supplier, one.receipt)))
    where = f" ({source})" if source else ""
    return f"  {one.item}, a {one.unit} ({plain_money(one.old)}), paid {one.day} for {one.piece}{where}"


def _asked(offers: tuple[Offer, ...]) -> list[Offer]:
    """Those that were said yes to; Enter is no."""
    from quoting.cli.ask import Terminal

    progress("")
    terminal = Terminal()
    return [
        one
        for one in offers
        if terminal.choice(f"{_row(one).strip()}: write {one.new}?", ("no", "yes")) == "yes"
    ]
