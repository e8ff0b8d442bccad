"""Laminates of a piece in its build, on the terminal: what each still needs, and what there is to decide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import about
from quoting.cli.terminal import bold, row, width, wrapped
from quoting.errors import one_line
from quoting.measures import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.forecast.panels import Choice, Panel
    from quoting.runs.standing import Stands

RARE = 0.005
CHOICES = {None: "as planned", 0: "stop now", 1: "one round more", 2: "two rounds more"}
MIDDLE, ENDS = 1, (0, 1, 3)  # of the quantiles P10, P50, P80, P90


TABLE = 90
"""Columns that the table of choices takes; where there are fewer, each is told in words."""


def panel(found: Stands, one: Panel) -> str:
    """What is laid of a laminate, and the plies and rounds that it still needs, with their chances."""
    system = found.piece.plan.shop.shop.units
    rows = [bold(wrapped(one_line(f"Laminate {one.part}"), ""))]
    thick = f", {_mm(one.measured_m)} measured" if one.measured_m is not None else ""
    thick += (
        f" over {one.measured_plies}"
        if one.measured_m is not None and one.measured_plies != one.plies
        else ""
    )
    rows.append(row("  so far", f"{one.rounds} rounds, {one.plies} plies{thick}"))
    wanted = f"{shown(one.wanted_m, 'length', system)} = {_mm(one.wanted_m)}"
    rows.append(
        row("  to be laid up", f"{wanted}, and {_mm(one.removed_m)} to be flattened off")
        if one.removed_m
        else row("  to be laid up", wanted)
    )
    rows.append(row("  a ply, cured", f"{' .. '.join(_mm(one.ply_m[i].value, 3) for i in ENDS)}"))
    for name, table in (("plies", one.plies_to_go), ("rounds", one.rounds_to_go)):
        chances = ", ".join(f"{count}: {share:.0%}" for count, share in table if share >= RARE)
        rows.append(wrapped(f"{name} still needed: {chances}", "  "))
    return "\n".join(rows)


def _mm(length_m: float, digits: int = 1) -> str:
    return f"{length_m * 1000:.{digits}f} mm"


def to_decide(found: Stands) -> Iterator[str]:
    """One table a laminate that is begun: what stopping now, one round more and two more would make of it."""
    choices = found.standing.choices
    for part in dict.fromkeys(one.part for one in choices):
        rows = [
            bold(
                wrapped(
                    one_line(f"To decide on {part}: each ends flattened, in the middle of what can be"), ""
                )
            )
        ]
        if width() >= TABLE:
            rows.append(
                f"  {'':<32} {'thickness':>15} {'thick enough':>13} {'cost':>10} {'days':>5} {'margin':>7}"
            )
        mine = [one for one in choices if one.part == part]
        rows += [_choice(found, one) for one in mine]
        rows.append(wrapped(_verdict(found, mine), "  "))
        yield "\n".join(rows)


def _choice(found: Stands, one: Choice) -> str:
    name = CHOICES[one.more]
    if one.more is None:
        name += f": {_rounds(one.rounds)} more"
    thick = f"{one.thickness_m[MIDDLE].value * 1000:.1f} ({one.thickness_m[0].value * 1000:.1f} .. {one.thickness_m[3].value * 1000:.1f}) mm"
    margin = "" if one.margin is None else f"{one.margin:.1%}"
    reaches = (
        "never" if one.reaches < RARE else "always" if one.reaches > 1 - RARE else f"in {one.reaches:.0%}"
    )
    cost, days = about(found.piece.plan, one.cost[MIDDLE].value), f"{one.days[MIDDLE].value:.0f}"
    if width() < TABLE:
        told = f"{name}: {thick}, thick enough {reaches}; cost {cost}, {days} days"
        return wrapped(told + (f", margin {margin}" if margin else ""), "  ")
    return f"  {name:<32} {thick:>21} {reaches:>7} {cost:>10} {days:>5} {margin:>7}"


def _rounds(count: int) -> str:
    return f"{count} {'round' if count == 1 else 'rounds'}"


def _verdict(found: Stands, choices: list[Choice]) -> str:
    """What the table comes to: rounds and money to the planned thickness, and what stopping now would leave."""
    now, planned = choices[0], choices[-1]
    panel = next(one for one in found.standing.panels if one.part == now.part)
    if now.more != 0:
        return "It is as thick as planned: nothing more needs to be pressed."
    short = panel.wanted_m - now.thickness_m[MIDDLE].value
    more = about(found.piece.plan, planned.cost[MIDDLE].value - now.cost[MIDDLE].value)
    said = f"{_rounds(planned.rounds)} more and {more} bring it to the planned thickness"
    if short <= 0:
        return f"{said}; stopping now is thick enough in {now.reaches:.0%} of what can be."
    return f"{said}; stopping now leaves it {short * 1000:.1f} mm too thin, which the price agreed does not allow for."
