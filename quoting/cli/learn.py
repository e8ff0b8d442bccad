"""The command that learns from finished pieces, and all of them side by side, as `review` tells them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.happened import learn_data
from quoting.as_data.record import Data
from quoting.cli.app import Answer, Folder, Json, arg, command, here, same, this_day
from quoting.cli.shape import answer, listed, part
from quoting.cli.terminal import about, aside, block, blocks, bold, counted, progress, row, whole_row, wrapped
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.review.pieces import Calibration, Compared, Year
    from quoting.review.standards import PaidPrice
    from quoting.runs.builds import AllPieces
    from quoting.runs.learn import Lessons, Proposal

FEW, MOST_TOLD = 3, 10
STANDARDS = "Standards: now -> as the pieces show, ± its standard error, pieces (> is proposed)"
BANDS = "Bands: 8 in 10 builds were to cost between"


@command()
def learn(
    only: Annotated[
        list[str] | None,
        arg("--only", "Only this standard, by its name in the list; more than once for several.", "NAME"),
    ] = None,
    accept: Annotated[
        bool, arg("--accept", "Put the change into shop.toml; the former file is kept beside it.")
    ] = False,
    shop: Folder = None,
    as_json: Json = False,
) -> Answer:
    """Propose better standards from finished pieces.

    Old value, new value, how many pieces it rests on, its standard error; and the change to shop.toml.
    """
    from quoting.runs.learn import learn as recipe

    found = recipe(here(shop), this_day(), only or (), accept, progress)
    accepting = [word for name in only or () for word in ("--only", name)]
    then = ["learn", *accepting, "--accept", *same(shop)] if found.patch and not accept else []
    return Answer((learn_data if as_json else _text)(found), next=then)


def _text(found: Lessons) -> str:
    """Standards, old and new, what they rest on, and the patch."""
    few = found.pieces < FEW
    change, kept = "" if few else "Nothing to change in shop.toml.", ""
    if found.patch:
        offer = "The change to shop.toml (quoting learn --accept puts it in)"
        title = offer if found.kept is None else "Put into shop.toml"
        change = block(title, [found.patch.rstrip("\n")])
    if found.kept is not None:
        kept = f"the former file is kept as {found.kept.name}; issued quotes stay as they are"
    prices = "Prices paid: in prices.csv -> paid, ± its standard error, pieces (> write it into prices.csv)"
    little = f"Nothing is proposed before {FEW} pieces are finished: one build proves little."
    return blocks(
        bold(f"What {counted(found.pieces, 'finished piece')} teach{'es' if found.pieces == 1 else ''}"),
        block(STANDARDS, _standard_rows(found.proposals)),
        block(prices, _price_rows(found.prices)),
        block(BANDS, _band_rows(found.calibration)),
        wrapped(little) if few else "",
        change,
        kept,
        *(aside(f"could not be read: {one}") for one in found.unread),
        *map(aside, found.untaught),
    )


def _standard_rows(proposals: Iterable[Proposal]) -> Iterator[str]:
    for one in proposals:
        learned = one.learned
        error = f" ± {one.error_text}" if learned.pieces > 1 else ""
        mark = ">" if learned.proposed else " "
        name = f"{mark} {learned.name} ({one.old_text or 'none of its own'})"
        yield whole_row(name, f"{one.value_text}{error}  {learned.pieces:>3}")


def _price_rows(prices: Iterable[PaidPrice]) -> Iterator[str]:
    from quoting.measures.showing import plain_money

    for one in prices:
        error = f" ± {plain_money(one.error)}" if one.pieces > 1 else ""
        words = f"{'>' if one.proposed else ' '} {one.item}, a {one.unit} ({plain_money(one.old)})"
        yield row(words, f"{plain_money(one.new)}{error}  {one.pieces:>3}")


def _band_rows(found: Calibration) -> Iterator[str]:
    """How often pieces cost what was stated; nothing where none stated it."""
    if found.share is None:
        return
    yield row("  pieces that did", f"{sum(one.held for one in found.bands)} of {len(found.bands)}")
    if found.width is not None and len(found.bands) >= FEW:
        narrow = f"too narrow: they should be {found.width:.1f} times as wide"
        yield row("  ranges as a whole", "wide enough" if found.width <= 1 else narrow)


def all_answer(found: AllPieces) -> str:
    """What finished pieces earned of what was quoted, piece by piece; how many standards they would change."""
    rows, figures = [], []
    for currency, tables in found.tables.items():
        earned, quoted = (sum(float(one[name]) for one in tables.pieces) for name in ("actual", "quoted"))
        figures += [
            (
                about(currency, earned),
                f"earned by {counted(len(tables.pieces), 'piece')}, {about(currency, quoted)} quoted",
            )
        ]
        rows += list(_pieces(tables.pieces, currency))
    proposed = [one.learned.name for one in found.standards if one.learned.proposed]
    bands = found.calibration.bands
    if found.calibration.share is not None:
        figures += [(f"{sum(one.held for one in bands)} of {len(bands)}", "cost what was stated for 8 in 10")]
    figures += [(str(len(proposed)), "standards that should change")]
    more = [f"  and {len(rows) - MOST_TOLD} more"] if len(rows) > MOST_TOLD else []
    return answer(
        "Finished pieces",
        figures,
        part("Margin earned (quoted), what an own hour earned", [*rows[:MOST_TOLD], *more]),
        listed("Standards that should change: ", proposed),
        "\n".join(wrapped(one) for one in (*found.left_out, *found.unread)[:FEW]),
    )  # fmt: skip


def all_text(found: AllPieces) -> str:
    """Every table of finished pieces."""
    proposed = (one for one in found.standards if one.learned.proposed)
    overhead = "Overhead: borne by pieces, spent (by the log of the shop), by the shop file"
    return blocks(
        bold("Finished pieces"),
        *(_tables(tables, currency) for currency, tables in found.tables.items()),
        block(BANDS, _band_rows(found.calibration)),
        block(STANDARDS, _standard_rows(proposed)),
        block(overhead, _overhead(found.years, found.currency)),
        *(aside(one) for one in found.left_out),
        *(aside(f"could not be read: {one}") for one in found.unread),
    )


def _tables(found: Compared, currency: str) -> str:
    trades = "By trade, of what was recorded: planned, actual, bias of the estimate (what rounds made of it)"
    by = {"kind": found.by_kind, "client": found.by_client, "species": found.by_species}
    return blocks(
        block("Margin earned (quoted), what an own hour earned", _pieces(found.pieces, currency)),
        *(
            block(f"By {name}: pieces, margin earned (quoted)", _margins(name, table, currency))
            for name, table in by.items()
        ),
        block(trades, _trades(found.by_trade, currency)),
    )


def _pieces(pieces: Iterable[Data], currency: str) -> Iterator[str]:
    for one in pieces:
        hour = "" if one["an_own_hour"] is None else f", {about(currency, one['an_own_hour'])} an hour"
        actual, quoted = (about(currency, one[name]) for name in ("actual", "quoted"))
        yield row(f"  {one['number']} {one['title']}, {one['client']}", f"{actual} ({quoted}){hour}")


def _margins(name: str, table: Iterable[Data], currency: str) -> Iterator[str]:
    for one in table:
        shares = (one["actual_margin"], one["quoted_margin"])
        actual, quoted = ("" if share is None else per_cent(share) for share in shares)
        earned = f"{about(currency, one['actual']):>10}  {f'{actual} ({quoted})':>17}"
        yield row(f"  {one[name]}", f"{one['pieces']:>3}  {earned}")


def _trades(table: Iterable[Data], currency: str) -> Iterator[str]:
    from quoting.pricing.record import group_title

    for one in table:
        planned, actual = (about(currency, one[name]) for name in ("planned", "actual"))
        bias = "" if one["bias"] is None or one["trade"] == "setback" else per_cent(one["bias"], 0, plus=True)
        if one["bias_of_rounds"] and abs(one["bias_of_rounds"]) >= 0.005:
            bias += f" ({per_cent(one['bias_of_rounds'], 0, plus=True)})"
        yield row(f"  {group_title(one['trade'])}", f"{planned:>9} {actual:>9} {bias:>14}")


def _overhead(years: Iterable[Year], currency: str) -> Iterator[str]:
    for one in years:
        borne, budget = (about(currency, value) for value in (one.absorbed, one.budget))
        spent = "not recorded" if one.spent is None else about(currency, one.spent)
        yield row(f"  {one.year}, {one.hours:.0f} h", f"{borne} borne, {spent} spent, {budget} planned")
        if one.variance is not None:
            under = one.variance.under_absorbed
            words = "spent and not borne by any piece" if under > 0 else "borne beyond what was spent"
            yield row(f"    {words}", about(currency, abs(under)))
