"""The sheet "Selling": list price, price at the floor and what reaches the maker, through each channel of the shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.utils import get_column_letter

from quoting.documents.sheet_channel import Column, Rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.documents.cells import Page
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced

SELLING = "Selling"
FIRST = 5
AGAIN = "run the command again"


def write_selling(page: Page, priced: Priced, channels: Sequence[Selling]) -> None:
    """Fill the sheet. Cost, margins, tax rate and steps of prices are those of the sheet Price and follow it."""
    page.text("A1", "What the piece can be sold for", "title")
    page.text(
        "A2",
        "Cost, margins and tax follow the sheet Price. Grey cells (the trip, packing, fees) do not follow pay or speed: "
        + AGAIN
        + f". Amounts in {priced.currency}.",
        "note",
    )
    fees = [fee for one in channels for fee in one.rules.fees]
    shares = dict.fromkeys(fee.name for fee in fees if fee.share)
    rows = _labels(page, list(shares), list(dict.fromkeys(fee.name for fee in fees if fee.fixed)))
    page.heads(FIRST - 1, ("Through", *(one.name for one in channels)), "", first_figure=2)
    for number, one in enumerate(channels, start=2):
        Column(page, priced, one, get_column_letter(number), rows).write()


def _labels(page: Page, shares: Sequence[str], fixed: Sequence[str]) -> Rows:
    """Words of the rows, and which row is which; `shares` and `fixed` are the fees that have them."""
    words = [
        "Cost with reserve, from the sheet Price", "Own delivery and waiting of this job, taken out",
        "Packing, and bringing it within the free radius", "Waiting for a buyer, share of the cost",
        "Cost through this channel", "Tax rate",
        *(f"{name}, share of the price" for name in shares), *(f"{name}, fixed" for name in fixed),
        "Share of the price left for cost", "Steps of prices added for rounded fees", "List price, as you show prices",
        "Share left at the floor margin", "Steps of prices added at the floor", "Price at the floor", "Net of the list price", "Fees of the list price", "Reaches your hand",
        "May come off the list price",
    ]  # fmt: skip
    for row, label in enumerate(words, start=FIRST):
        page.text(f"A{row}", label)
    at = iter(range(FIRST, FIRST + len(words)))
    reserve, own, added, waiting, cost, tax = (next(at) for _ in range(6))
    of_share, of_fixed = ({name: next(at) for name in names} for names in (shares, fixed))
    return Rows(reserve, own, added, waiting, cost, tax, of_share, of_fixed, *at)
