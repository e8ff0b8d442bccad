"""What is said of the panels of a piece in its build: what is laid of each, and what stopping now or pressing on would make of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from quoting.cli.risk import ENDS, MIDDLE, RARE
from quoting.cli.terminal import about, block, counted, row, width, wrapped
from quoting.measures import shown
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.forecast.decisions import Choice, Panel
    from quoting.runs.builds import Stands

CHOICES = {None: "as planned", 0: "stop now", 1: "one round more", 2: "two rounds more"}
TABLE = 90
"""Columns that the table of choices takes; where there are fewer, each is told in words."""


def margin_said(margin: float | None) -> str:
    """A margin; nothing where there is no price to have one of."""
    return "" if margin is None else per_cent(margin)


def laminates(found: Stands) -> Iterator[str]:
    """A block for every laminate; then for each that is begun what stopping now, and one and two rounds more, would make of it."""
    for panel in found.standing.panels:
        yield block(f"Laminate {panel.part}", _so_far(panel, found.piece.plan.shop.shop.units))
    for part in dict.fromkeys(one.part for one in found.standing.choices):
        title = f"To decide on {part}: each ends flattened, in the middle of what can be"
        yield block(title, _choices(found, [one for one in found.standing.choices if one.part == part]))


def verdicts(found: Stands) -> Iterator[tuple[str, str]]:
    """Each panel that is begun, with what its choices come to."""
    for part in dict.fromkeys(one.part for one in found.standing.choices):
        yield part, verdict(found, [one for one in found.standing.choices if one.part == part])


def _so_far(one: Panel, system: str) -> Iterator[str]:
    """What is laid of a laminate, and the plies and rounds that it still needs, with their chances."""
    thick = f", {_mm(one.measured_m)} measured" if one.measured_m is not None else ""
    if one.measured_m is not None and one.measured_plies != one.plies:
        thick += f" over {one.measured_plies}"
    wanted = f"{shown(one.wanted_m, 'length', system)} = {_mm(one.wanted_m)}"
    if one.removed_m:
        wanted += f", and {_mm(one.removed_m)} to be flattened off"
    yield row("  so far", f"{one.rounds} rounds, {one.plies} plies{thick}")
    yield row("  to be laid up", wanted)
    yield row("  a ply, cured", " .. ".join(_mm(one.ply_m[i].value, 3) for i in ENDS))
    for name, table in (("plies", one.plies_to_go), ("rounds", one.rounds_to_go)):
        told = ", ".join(f"{count}: {per_cent(share, 0)}" for count, share in table if share >= RARE)
        yield wrapped(f"{name} still needed: {told}", "  ")


def _mm(length_m: float, digits: int = 1) -> str:
    return f"{length_m * 1000:.{digits}f} mm"


def _choices(found: Stands, choices: Sequence[Choice]) -> Iterator[str]:
    if width() >= TABLE:
        heads = f"{'thickness':>15} {'thick enough':>13} {'cost':>10} {'days':>5} {'margin':>7}"
        yield f"  {'':<32} {heads}"
    yield from (_choice(found, one) for one in choices)
    yield wrapped(verdict(found, choices), "  ")


def _choice(found: Stands, one: Choice) -> str:
    name = CHOICES[one.more]
    if one.more is None:
        name += f": {counted(one.rounds, 'round')} more"
    low, middle, high = (f"{one.thickness_m[i].value * 1000:.1f}" for i in ENDS)
    thick = f"{middle} ({low} .. {high}) mm"
    margin = margin_said(one.margin)
    sometimes = "always" if one.reaches > 1 - RARE else f"in {per_cent(one.reaches, 0)}"
    reaches = "never" if one.reaches < RARE else sometimes
    cost, days = about(found.piece.plan, one.cost[MIDDLE].value), f"{one.days[MIDDLE].value:.0f}"
    if width() < TABLE:
        told = f"{name}: {thick}, thick enough {reaches}; cost {cost}, {days} days"
        return wrapped(told + (f", margin {margin}" if margin else ""), "  ")
    return f"  {name:<32} {thick:>21} {reaches:>7} {cost:>10} {days:>5} {margin:>7}"


def verdict(found: Stands, choices: Sequence[Choice]) -> str:
    """What the table comes to: rounds and money to the planned thickness, and what stopping now would leave."""
    now, planned = choices[0], choices[-1]
    panel = next(one for one in found.standing.panels if one.part == now.part)
    if now.more != 0:
        return "It is as thick as planned: nothing more needs to be pressed."
    short = panel.wanted_m - now.thickness_m[MIDDLE].value
    more = about(found.piece.plan, planned.cost[MIDDLE].value - now.cost[MIDDLE].value)
    said = f"{counted(planned.rounds, 'round')} more and {more} bring it to the planned thickness"
    if short <= 0:
        return f"{said}; stopping now is thick enough in {per_cent(now.reaches, 0)} of what can be."
    return f"{said}; stopping now leaves it {_mm(short)} too thin, which the price agreed does not allow for."
