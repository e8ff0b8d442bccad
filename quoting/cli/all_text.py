"""All finished pieces side by side, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting.cli.amounts import about_in
from quoting.cli.learn_text import calibration_rows, standard_rows
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line
from quoting.pricing.sentences import group_title

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.runs.review import AllPieces


def all_text(found: AllPieces) -> str:
    """Every table of finished pieces."""
    blocks = [bold("Finished pieces")]
    for currency, tables in found.tables.items():
        blocks.append(_pieces(tables.pieces, currency))
        for title, name, rows in (
            ("By kind", "kind", tables.by_kind),
            ("By client", "client", tables.by_client),
            ("By species", "species", tables.by_species),
        ):
            if rows:
                blocks.append(_margins(title, name, rows, currency))
        blocks.append(_trades(tables.by_trade, currency))
    blocks += list(calibration_rows(found.calibration))
    blocks += list(standard_rows([one for one in found.standards if one.learned.proposed]))
    blocks += list(_overhead(found))
    blocks += [dim(wrapped(one_line(one), "")) for one in found.left_out]
    blocks += [dim(wrapped(one_line(f"could not be read: {one}"), "")) for one in found.unread]
    return "\n\n".join(blocks)


def _share(value: float | None) -> str:
    return "" if value is None else f"{value:.1%}"


def _pieces(pieces: list[dict[str, Any]], currency: str) -> str:
    rows = [bold("Margin earned (quoted), what an own hour earned")]
    for one in pieces:
        hour = "" if one["an_own_hour"] is None else f", {about_in(currency, one['an_own_hour'])} an hour"
        actual, quoted = (about_in(currency, one[name]) for name in ("actual", "quoted"))
        rows.append(
            row(one_line(f"  {one['number']} {one['title']}, {one['client']}"), f"{actual} ({quoted}){hour}")
        )
    return "\n".join(rows)


def _margins(title: str, name: str, table: list[dict[str, Any]], currency: str) -> str:
    rows = [bold(f"{title}: pieces, margin earned (quoted)")]
    for one in table:
        margin = f"{_share(one['actual_margin'])} ({_share(one['quoted_margin'])})"
        earned = about_in(currency, one["actual"])
        rows.append(row(one_line(f"  {one[name]}"), f"{one['pieces']:>3}  {earned:>10}  {margin:>17}"))
    return "\n".join(rows)


def _trades(table: list[dict[str, Any]], currency: str) -> str:
    rows = [
        bold(
            wrapped(
                "By trade, of what was recorded: planned, actual, bias of the estimate (what rounds made of it)",
                "",
            )
        )
    ]
    for one in table:
        planned, actual = (about_in(currency, one[name]) for name in ("planned", "actual"))
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
        borne, budget = (about_in(found.currency, value) for value in (one.absorbed, one.budget))
        spent = "not recorded" if one.spent is None else about_in(found.currency, one.spent)
        rows.append(
            row(f"  {one.year}, {one.hours:.0f} h", f"{borne} borne, {spent} spent, {budget} planned")
        )
        if one.variance is not None:
            under = one.variance.under_absorbed
            words = "spent and not borne by any piece" if under > 0 else "borne beyond what was spent"
            rows.append(row(f"    {words}", about_in(found.currency, abs(under))))
    yield "\n".join(rows)
