"""An outlook on the terminal, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import about, money
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.outlook import Driver, Outlook
    from quoting.pricing.record import Priced
    from quoting.risk.drawn import Chance

LEVELS = ("1 in 10", "half of all", "8 in 10", "9 in 10")
MOST_DRIVERS = 12
RARELY_MET = 0.45
SMALL = 0.0005
TOLD = (0, 1, 3)  # of the four quantiles


def risk_text(priced: Priced, found: Outlook) -> str:
    """All that draws say, in blocks."""
    title = bold(one_line(f"How sure the price of {priced.job.piece.title} is"))
    head = f"{title}\n{found.draws:,} builds drawn with seed {found.seed}, in {priced.currency}"
    blocks = [head, _cost(priced, found), _price(priced, found), _bands(found), *_drivers(priced, found)]
    if found.clipped:
        blocks.append(
            "\n".join(
                [
                    bold("Held back at a bound"),
                    *(row(f"  {name}", f"{share:.1%} of draws") for name, share in found.clipped.items()),
                ]
            )
        )
    return "\n\n".join(blocks)


def _cost(priced: Priced, found: Outlook) -> str:
    rows = [bold(wrapped("Cost, delivery included (and how exactly so many draws know it)", ""))]
    for words, one in zip(LEVELS, found.cost, strict=True):
        rows.append(
            row(
                f"  {words} builds cost less than",
                f"{about(priced, one.value)} ± {about(priced, one.error)}",
            )
        )
    rows.append(
        row(
            "  the plan: all at its likely value, setbacks by chance",
            about(priced, found.plan),
        )
    )
    met = f"The plan is met in {found.met.share:.0%} of builds."
    if found.met.share < RARELY_MET:
        met += " Things turn out dearer more often than cheaper: do not promise the plan."
    return "\n".join([*rows, wrapped(met, "  ")])


def _price(priced: Priced, found: Outlook) -> str:
    sale, rules = priced.chain, priced.rules
    rows = [
        bold(f"At the price of {money(priced, sale.total)}"),
        row("  it loses money in", chance_said(found.loses)),
        row(f"  it stays below the floor of {rules.floor:.1%} in", chance_said(found.misses_floor)),
        row(f"  it stays below the margin asked, {rules.margin:.1%}, in", chance_said(found.misses_margin)),
        row("  margin where 8 in 10 builds do better", f"{found.margins[2]:.1%}"),
        row(
            f"  price that keeps {rules.margin:.1%} where 8 in 10 builds cost less",
            money(priced, found.covering),
        ),
    ]
    return "\n".join(rows)


def chance_said(one: Chance) -> str:
    """A chance with how exactly it is known."""
    if one.share < SMALL:
        return "almost no build"
    if one.share > 1 - SMALL:
        return "almost every build"
    return f"{one.share:.1%} ± {one.error:.1%} of builds"


def _bands(found: Outlook) -> str:
    rows = [bold(wrapped("What else is unsure: in 8 of 10 builds between, and in the middle", ""))]
    for name, spread, unit in (
        ("labour", found.labour_h, "h"),
        ("machine hours", found.machine_h, "h"),
        ("mixed resin", found.resin_l, "L"),
    ):
        if spread[-1].value:
            told = " .. ".join(f"{spread[i].value:.1f}" for i in TOLD)
            rows.append(row(f"  {name}", f"{told} {unit}"))
    days = " .. ".join(f"{found.lead_d[i].value:.0f}" for i in TOLD)
    rows.append(row("  days from the order to the hand-over", f"{days} days"))
    if found.rounds:
        chances = ", ".join(
            f"{count} {'round' if count == 1 else 'rounds'} {share:.0%}"
            for count, share in found.rounds
            if share >= 0.005
        )
        rows.append(wrapped(f"bagging: {chances}", "  "))
    return "\n".join(rows)


def _drivers(priced: Priced, found: Outlook) -> Iterator[str]:
    """What moves the cost most; setbacks apart."""
    if found.drivers:
        rows = [
            bold(
                wrapped(
                    "What moves the cost: from its low to its high, all else likely; its share of what is unsure",
                    "",
                )
            )
        ]
        rows += [_driver(priced, one) for one in found.drivers[:MOST_DRIVERS]]
        rest = found.drivers[MOST_DRIVERS:]
        if rest:
            rows.append(
                dim(
                    f"  and {len(rest)} more, together {max(sum(one.share for one in rest), 0.0):.0%} of what is unsure"
                )
            )
        if found.together >= 0.01:
            rows.append(dim(f"  {found.together:.0%} comes of several of them together"))
        yield "\n".join(rows)
    if found.setbacks:
        yield "\n".join(
            [
                bold("Setbacks: what the cost is without and with them"),
                *(_driver(priced, one) for one in found.setbacks),
            ]
        )


def _driver(priced: Priced, one: Driver) -> str:
    ends = f"{about(priced, one.at_low)} .. {about(priced, one.at_high)}"
    return row(
        f"  {one.name} ({one.words})" if one.words else f"  {one.name}", f"{ends} {max(one.share, 0.0):>4.0%}"
    )
