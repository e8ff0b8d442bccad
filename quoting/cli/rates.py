"""The command that says what an hour that is sold must bring, and how each hour rate is built up."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import rates_data
from quoting.cli.app import Answer, Details, Json, arg, command
from quoting.cli.shape import TOLD, Bar, answer, bars, part
from quoting.cli.terminal import aside, block, blocks, money, row, wrapped
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.runs.pricing import Rates

DRAWN = "The reserve of each job is drawn (P80): it comes on top."


@command()
def rates(
    folder: Annotated[Path, arg("[FOLDER]", "The shop folder.")] = Path(),
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say what an hour that you sell must bring.

    Pay, what it carries of the shop, fees and margin. With --details how each hour rate is built up, of pay, of overhead and of
    every machine. And what may have been counted twice.
    """
    from quoting.runs.pricing import rates as recipe

    found = recipe(folder)
    if as_json:
        return Answer(rates_data(found))
    return Answer(
        _text(found) if details else _answer(found), next=("explain", "office_time"), brief=not details
    )


def _answer(found: Rates) -> str:
    """What a sold hour must bring, where it goes, and the hours of machines beside it."""
    cash, of_machines = found.currency, [one for one in found.rates if one.name.startswith("machine.")]
    figures = [
        (
            money(cash, found.sold.total),
            f"must come in, before tax, for a margin of {per_cent(found.margin)}",
        ),
        (money(cash, found.sold.cost), "is what it costs, your pay in it"),
    ]
    goes = [
        Bar(one.name, float(one.amount), money(cash, one.amount), f"{one.per_cent} %") for one in found.goes
    ]
    notes = [*([DRAWN] if found.sold.reserve is None else []), *found.counted_twice[:TOLD]]
    return answer(
        "What an hour that you sell must bring",
        figures,
        part("Where it goes", bars(goes), "an hour"),
        part(
            "Beside it, an hour of", (row(f"  {one.name}", money(cash, one.per_hour)) for one in of_machines)
        ),
        "\n".join(wrapped(words) for words in notes),
    )


def _text(found: Rates) -> str:
    """Every rate and how it is built up."""
    rows = []
    for rate in found.rates:
        rows += [row(f"  {rate.name}", f"{rate.per_hour:,.2f}"), aside(rate.words, "      ")]
    twice = block("Counted twice?", (wrapped(words, "  ") for words in found.counted_twice))
    return blocks(block(f"An hour in {found.currency}", rows), twice)
