"""The command that says how sure a price is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from quoting.as_data.planned import risk_data
from quoting.cli.app import (
    Answer,
    Details,
    Draws,
    Job,
    Json,
    Overwrite,
    Picture,
    Seed,
    Settings,
    Shop,
    command,
    same,
    this_day,
)
from quoting.cli.shape import answer, part
from quoting.cli.terminal import about, block, blocks, bold, counted, dim, money, progress, row, wrapped
from quoting.measures.showing import hours_said, per_cent

if TYPE_CHECKING:
    from quoting.pricing.outlook import Driver, Outlook
    from quoting.pricing.record import Priced
    from quoting.risk.drawn import Chance, Quantile

LEVELS = ("1 in 10", "half of all", "8 in 10", "9 in 10")
MOST_DRIVERS, MOST_TOLD = 12, 6
RARELY_MET = 0.45
SMALL = 0.0005
RARE = 0.005
MIDDLE, EIGHT, ENDS = 1, 2, (0, 1, 3)  # of the quantiles P10, P50, P80, P90


@command("drawing")
def risk(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    draws: Draws = None,
    seed: Seed = None,
    out: Picture = None,
    overwrite: Overwrite = False,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say how sure a price is: draw the whole build many times.

    What 8 in 10 builds cost, the chance that the price loses money, and what moves the cost most.
    """
    from quoting.runs.risk import risk as recipe

    found = recipe(job, shop, this_day(), setting or (), draws, seed, out, overwrite, progress)
    said = (risk_data if as_json else _text if details else _answer)(found.priced, found.outlook)
    quote = ("quote", job, *same(shop, setting))
    return Answer(said, found.written, found.priced.policies_broken, next=quote, brief=not details)


def _answer(priced: Priced, found: Outlook) -> str:
    """What 8 in 10 builds cost, how often that is too much, what moves it most."""
    asked, eight = per_cent(priced.rules.margin), about(priced, found.cost[EIGHT].value)
    met = per_cent(found.met.share, 0)
    figures = [
        (eight, "8 in 10 builds cost less"),
        (about(priced, found.plan), f"planned; {met} of builds keep to it"),
        (money(priced, priced.chain.total), "price, all in"),
        (money(priced, found.covering), f"price that keeps {asked} at {eight}"),
        (_often(found.loses), "of builds lose money"),
        (_often(found.misses_margin), f"stay below {asked} margin"),
        (
            hours_said(found.labour_h[MIDDLE].value),
            f"of work, 8 in 10 below {hours_said(found.labour_h[EIGHT].value)}",
        ),
        (
            f"{found.lead_d[MIDDLE].value:.0f} days",
            f"to hand-over, 8 in 10 within {found.lead_d[EIGHT].value:.0f}",
        ),
    ]
    drivers = (*found.drivers[:MOST_TOLD], *found.setbacks[: MOST_TOLD // 2])
    return answer(
        f"How sure the price of {priced.job.piece.title} is",
        figures,
        part(
            "What moves the cost, from its low to its high",
            (_driver(priced, one) for one in drivers),
            "of the risk",
        ),
    )


def _often(one: Chance) -> str:
    """A chance as a figure."""
    return "none" if one.share < SMALL else "all" if one.share > 1 - SMALL else per_cent(one.share)


def _text(priced: Priced, found: Outlook) -> str:
    """All that draws say, in blocks."""
    title = bold(f"How sure the price of {priced.job.piece.title} is")
    moves = "What moves the cost: from its low to its high, all else likely; its share of what is unsure"
    setbacks = (_driver(priced, one) for one in found.setbacks)
    held = (row(f"  {name}", f"{per_cent(share)} of draws") for name, share in found.clipped.items())
    return blocks(
        f"{title}\n{found.draws:,} builds drawn with seed {found.seed}, in {priced.currency}",
        block("Cost, delivery included (and how exactly so many draws know it)", _cost(priced, found)),
        block(f"At the price of {money(priced, priced.chain.total)}", _price(priced, found)),
        block("What else is unsure: in 8 of 10 builds between, and in the middle", _bands(found)),
        block(moves, _drivers(priced, found)),
        block("Setbacks: what the cost is without and with them", setbacks),
        block("Held back at a bound", held),
    )


def _cost(priced: Priced, found: Outlook) -> Iterator[str]:
    for words, one in zip(LEVELS, found.cost, strict=True):
        known = f"{about(priced, one.value)} ± {about(priced, one.error)}"
        yield row(f"  {words} builds cost less than", known)
    yield row("  the plan: all at its likely value, setbacks by chance", about(priced, found.plan))
    met = f"The plan is met in {per_cent(found.met.share, 0)} of builds."
    if found.met.share < RARELY_MET:
        met += " Things turn out dearer more often than cheaper: do not promise the plan."
    yield wrapped(met, "  ")


def _price(priced: Priced, found: Outlook) -> Iterator[str]:
    rules = priced.rules
    yield row("  it loses money in", chance_said(found.loses))
    yield row(f"  it stays below the floor of {per_cent(rules.floor)} in", chance_said(found.misses_floor))
    yield row(
        f"  it stays below the margin asked, {per_cent(rules.margin)}, in", chance_said(found.misses_margin)
    )
    yield row("  margin where 8 in 10 builds do better", per_cent(found.margins[EIGHT]))
    covering = f"  price that keeps {per_cent(rules.margin)} where 8 in 10 builds cost less"
    yield row(covering, money(priced, found.covering))


def chance_said(one: Chance) -> str:
    """A chance with how exactly it is known."""
    if one.share < SMALL:
        return "almost no build"
    if one.share > 1 - SMALL:
        return "almost every build"
    return f"{per_cent(one.share)} ± {per_cent(one.error)} of builds"


def _bands(found: Outlook) -> Iterator[str]:
    yield from bands(("labour", found.labour_h, "h"), ("machine hours", found.machine_h, "h"))
    yield from bands(("mixed resin", found.resin_l, "L"))
    yield row("  days from the order to the hand-over", f"{_band(found.lead_d, 0)} days")
    if found.rounds:
        told = (
            f"{counted(count, 'round')} {per_cent(share, 0)}"
            for count, share in found.rounds
            if share >= RARE
        )
        yield wrapped(f"bagging: {', '.join(told)}", "  ")


def bands(*rows: tuple[str, Sequence[Quantile], str]) -> Iterator[str]:
    """A row each for what is there in some builds at least, in a unit."""
    for name, spread, unit in rows:
        if spread[-1].value:
            yield row(f"  {name}", f"{_band(spread)} {unit}")


def _band(spread: Sequence[Quantile], digits: int = 1) -> str:
    """Where 8 in 10 builds lie, with the middle."""
    return " .. ".join(f"{spread[i].value:.{digits}f}" for i in ENDS)


def _drivers(priced: Priced, found: Outlook) -> Iterator[str]:
    """What moves the cost most; setbacks apart."""
    yield from (_driver(priced, one) for one in found.drivers[:MOST_DRIVERS])
    rest = found.drivers[MOST_DRIVERS:]
    if rest:
        share = max(sum(one.share for one in rest), 0.0)
        yield dim(f"  and {len(rest)} more, together {per_cent(share, 0)} of what is unsure")
    if found.drivers and found.together >= 0.01:
        yield dim(f"  {per_cent(found.together, 0)} comes of several of them together")


def _driver(priced: Priced, one: Driver) -> str:
    ends = f"{about(priced, one.at_low)} .. {about(priced, one.at_high)}"
    return row(named(one.name, one.words), f"{ends} {per_cent(max(one.share, 0.0), 0):>5}")


def named(name: str, words: str) -> str:
    """What a row speaks of, with its range as it is written."""
    return f"  {name} ({words})" if words else f"  {name}"
