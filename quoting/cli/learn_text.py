"""What finished pieces teach, and what all of them say together, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting.cli.terminal import bold, dim, row, whole_row, wrapped
from quoting.errors import one_line
from quoting.money import whole
from quoting.pricing.words import group_title, plain_money

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.hindsight.bands import Calibration
    from quoting.runs.learn import Lessons, Proposal
    from quoting.runs.review_all import AllPieces

FEW = 3


def learn_text(found: Lessons) -> str:
    """Standards, old and new, what they rest on, and the patch."""
    count = f"{found.pieces} finished {'piece' if found.pieces == 1 else 'pieces'}"
    blocks = [bold(f"What {count} teach" if found.pieces != 1 else f"What {count} teaches")]
    blocks += list(_standards(found.proposals))
    blocks += list(_prices(found))
    blocks += list(_calibration(found.calibration))
    if found.pieces < FEW:
        blocks.append(
            wrapped(f"Nothing is proposed before {FEW} pieces are finished: one build proves little.", "")
        )
    if found.patch:
        title = (
            "Put into shop.toml"
            if found.kept is not None
            else "The change to shop.toml (quoting learn --accept puts it in)"
        )
        blocks.append("\n".join([bold(title), found.patch.rstrip("\n")]))
    elif found.pieces >= FEW:
        blocks.append("Nothing to change in shop.toml.")
    if found.kept is not None:
        blocks.append(f"the former file is kept as {found.kept.name}; issued quotes stay as they are")
    blocks += [dim(wrapped(one_line(f"could not be read: {one}"), "")) for one in found.unread]
    return "\n\n".join(blocks)


def _standards(proposals: Sequence[Proposal]) -> Iterator[str]:
    if not proposals:
        return
    rows = [
        bold(
            wrapped("Standards: now -> as the pieces show, ± its standard error, pieces (> is proposed)", "")
        )
    ]
    for one in proposals:
        learned = one.learned
        error = f" ± {one.error_text}" if learned.pieces > 1 else ""
        mark = ">" if learned.proposed else " "
        old = one.old_text or "none of its own"
        rows.append(
            whole_row(
                one_line(f"{mark} {learned.name} ({old})"), f"{one.value_text}{error}  {learned.pieces:>3}"
            )
        )
    yield "\n".join(rows)


def _prices(found: Lessons) -> Iterator[str]:
    if not found.prices:
        return
    rows = [
        bold(
            wrapped(
                "Prices paid: in prices.csv -> paid, ± its standard error, pieces (> write it into prices.csv)",
                "",
            )
        )
    ]
    for one in found.prices:
        mark = ">" if one.proposed else " "
        error = f" ± {plain_money(one.error)}" if one.pieces > 1 else ""
        words = f"{mark} {one.item}, a {one.unit} ({plain_money(one.old)})"
        rows.append(row(one_line(words), f"{plain_money(one.new)}{error}  {one.pieces:>3}"))
    yield "\n".join(rows)


def _calibration(found: Calibration) -> Iterator[str]:
    if found.share is None:
        return
    held = sum(one.held for one in found.bands)
    rows = [bold("Bands: 8 in 10 builds were to cost between")]
    rows.append(row("  pieces that did", f"{held} of {len(found.bands)}"))
    if found.width is not None and len(found.bands) >= FEW:
        said = (
            "wide enough"
            if found.width <= 1
            else f"too narrow: they should be {found.width:.1f} times as wide"
        )
        rows.append(row("  ranges as a whole", said))
    yield "\n".join(rows)


def all_text(found: AllPieces) -> str:
    """Every table of finished pieces."""
    blocks = [bold("Finished pieces")]
    for currency, tables in found.tables.items():
        blocks.append(_pieces(tables.pieces, currency, found))
        for title, name, rows in (
            ("By kind", "kind", tables.by_kind),
            ("By client", "client", tables.by_client),
            ("By species", "species", tables.by_species),
        ):
            if rows:
                blocks.append(_margins(title, name, rows, currency, found))
        blocks.append(_trades(tables.by_trade, currency, found))
    blocks += list(_calibration(found.calibration))
    blocks += list(_standards([one for one in found.standards if one.learned.proposed]))
    blocks += list(_overhead(found))
    blocks += [dim(wrapped(one_line(one), "")) for one in found.left_out]
    blocks += [dim(wrapped(one_line(f"could not be read: {one}"), "")) for one in found.unread]
    return "\n\n".join(blocks)


def _share(value: float | None) -> str:
    return "" if value is None else f"{value:.1%}"


def _pieces(pieces: list[dict[str, Any]], currency: str, found: AllPieces) -> str:
    rows = [bold("Margin earned (quoted), what an own hour earned")]
    for one in pieces:
        hour = (
            ""
            if one["an_own_hour"] is None
            else f", {whole(one['an_own_hour'], currency, found.locale)} an hour"
        )
        actual, quoted = (whole(one[name], currency, found.locale) for name in ("actual", "quoted"))
        rows.append(
            row(one_line(f"  {one['number']} {one['title']}, {one['client']}"), f"{actual} ({quoted}){hour}")
        )
    return "\n".join(rows)


def _margins(title: str, name: str, table: list[dict[str, Any]], currency: str, found: AllPieces) -> str:
    rows = [bold(f"{title}: pieces, margin earned (quoted)")]
    for one in table:
        margin = f"{_share(one['actual_margin'])} ({_share(one['quoted_margin'])})"
        earned = whole(one["actual"], currency, found.locale)
        rows.append(row(one_line(f"  {one[name]}"), f"{one['pieces']:>3}  {earned:>10}  {margin:>17}"))
    return "\n".join(rows)


def _trades(table: list[dict[str, Any]], currency: str, found: AllPieces) -> str:
    rows = [
        bold(
            wrapped(
                "By trade, of what was recorded: planned, actual, bias of the estimate (what rounds made of it)",
                "",
            )
        )
    ]
    for one in table:
        planned, actual = (whole(one[name], currency, found.locale) for name in ("planned", "actual"))
        bias = "" if one["bias"] is None or one["trade"] == "setback" else f"{one['bias']:+.0%}"
        moved = (
            f" ({one['bias_of_rounds']:+.0%})"
            if one["bias_of_rounds"] and abs(one["bias_of_rounds"]) >= 0.005
            else ""
        )
        rows.append(row(f"  {group_title(one['trade'])}", f"{planned:>9} {actual:>9} {bias + moved:>14}"))
    return "\n".join(rows)


def _overhead(found: AllPieces) -> Iterator[str]:
    if not found.years:
        return
    rows = [bold(wrapped("Overhead: borne by pieces, spent (by the log of the shop), by the shop file", ""))]
    for one in found.years:
        borne, budget = (whole(value, found.currency, found.locale) for value in (one.absorbed, one.budget))
        spent = "not recorded" if one.spent is None else whole(one.spent, found.currency, found.locale)
        rows.append(
            row(f"  {one.year}, {one.hours:.0f} h", f"{borne} borne, {spent} spent, {budget} planned")
        )
        if one.variance is not None:
            under = one.variance.under_absorbed
            words = "spent and not borne by any piece" if under > 0 else "borne beyond what was spent"
            rows.append(row(f"    {words}", whole(abs(under), found.currency, found.locale)))
    yield "\n".join(rows)
