"""The command that says where a piece in its build stands, and how it will end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING, Annotated

from quoting.cli.app import Answer, Draws, Folder, Json, Number, Seed, arg, command, here
from quoting.cli.as_json import Data, amounts, by_name, chances, margins, picked, share
from quoting.cli.risk import EIGHT, ENDS, LEVELS, MIDDLE, RARE, bands, chance_said, named
from quoting.cli.terminal import about, block, blocks, counted, dim, heading, money, row, width, wrapped
from quoting.measures import shown
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.forecast.build import Earned
    from quoting.forecast.decisions import Choice, Panel
    from quoting.forecast.forecast import Forecast
    from quoting.pricing.record import Priced
    from quoting.runs.builds import Stands

MOST_DRIVERS, MOST_LESSONS, MOST_TASKS = 8, 10, 10
CHOICE = "part more_rounds=more rounds reaches margin thickness_m cost days"
CHOICES = {None: "as planned", 0: "stop now", 1: "one round more", 2: "two rounds more"}
TABLE = 90
"""Columns that the table of choices takes; where there are fewer, each is told in words."""


@command("drawing")
def standing(
    number: Number,
    on: Annotated[str, arg("--on", "As it stood at the end of that day [default: today].", "DAY")] = "",
    shop: Folder = None,
    draws: Draws = None,
    seed: Seed = None,
    as_json: Json = False,
) -> Answer:
    """Say where a piece in its build stands, and how it will end.

    Plies and rounds still needed, cost and day in the end, margin against quoted, one more round or not, what to buy now.
    """
    from quoting.runs.builds import standing as recipe

    found = recipe(here(shop), number, on, draws, seed)
    return Answer((_data if as_json else _text)(found))


def _data(found: Stands) -> Data:
    """Where a piece stands, for other programs."""
    now, piece = found.standing, found.piece
    digits, laminates = piece.plan.digits, []
    for one in now.panels:
        plies, rounds = chances(one.plies_to_go, "plies"), chances(one.rounds_to_go, "rounds")
        laminates.append(by_name(one, plies_to_go=plies, rounds_to_go=rounds))
    return picked(
        now,
        "number title state day currency seed draws net=contract.net fees=contract.fees cost planned_cost"
        " cost_so_far margin quoted_margin planned_margin=planned chance_of_loss=loses"
        " labour_hours_to_go=to_go.labour_h resin_litres_to_go=to_go.resin_l bag_film_m2_to_go=to_go.film_m2"
        " days_to_go=to_go.days tasks_to_go=tasks laminates choices learnt=lessons drivers earned_value"
        " buying notes",
        **picked(piece, "title=quote.face.title state=standing.words currency=plan.currency"),
        **amounts(now, digits, "planned_cost cost_so_far=spent"),
        number=str(piece.number),
        day=found.day,
        margin=margins(now.cost, now.margins),
        quoted_margin=share(now.quoted),
        laminates=laminates,
        choices=[picked(one, CHOICE) for one in now.choices],
        earned_value=None if now.earned is None else _earned_data(now.earned, digits),
        buying=[by_name(one, **amounts(one, digits, "money")) for one in now.buying],
        notes=found.notes,
    )


def _earned_data(one: Earned, digits: int) -> Data:
    """Earned value; what rests on a plan by days is nothing where there is none."""
    found = amounts(one, digits, "bac ev ac pv cv sv eac_at_budget eac_at_present")
    found |= amounts(one, digits, "eac_at_both") if one.pv else {"spi": None, "eac_at_both": None}
    keys = "bac ev ac pv cv sv cpi spi eac_at_budget eac_at_present eac_at_both tcpi"
    return picked(one, keys, **found)


def _text(found: Stands) -> str:
    """All that is known of a piece in its build, in blocks."""
    piece, now = found.piece, found.standing
    title = f"How {piece.number} {piece.quote.face.title} stands on {found.day.isoformat()}: {piece.standing.words}"
    drawn = f"{now.draws:,} builds drawn with seed {now.seed}, in {piece.plan.currency}"
    drivers = (row(named(one.name, one.words), per_cent(one.share, 0)) for one in now.drivers[:MOST_DRIVERS])
    tasks = "Hours to come by task, in the middle (mark what is finished: quoting log NUMBER done TASK)"
    earned = "Earned value: the work done at the plan's cost, beside what it cost"
    learnt = "What the log has taught: the middle and how far it may be off, before -> now"
    return blocks(
        "\n".join([heading(title), drawn, *(wrapped(note) for note in found.notes)]),
        block("What it will have cost in the end", _cost(piece.plan, now)),
        block("Margin now against quoted", _margin(piece.plan, now)),
        block("Still to come: in 8 of 10 builds between, and in the middle", _to_go(found)),
        block(tasks, _tasks(now)),
        *_laminates(found),
        block("To buy: what 8 in 10 builds still need, the most urgent first", _buying(found)),
        block(learnt, _lessons(found)),
        block("What drives the cost from here: share of what is still unsure", drivers),
        block(earned, _earned(piece.plan, now)),
    )


def _cost(plan: Priced, now: Forecast) -> Iterator[str]:
    for words, one in zip(LEVELS, now.cost, strict=True):
        yield row(f"  {words} builds cost less than", about(plan, one.value))
    yield row("  the plan, without its reserve", about(plan, now.planned_cost))
    yield row("  cost so far", about(plan, now.spent))


def _margin(plan: Priced, now: Forecast) -> Iterator[str]:
    net, fees = now.contract.net, now.contract.fees
    name = "price agreed" if now.contract.firm else "price asked"
    yield row(f"  {name}, net, less fees {money(plan, fees)}", money(plan, net))
    yield row("  quoted, the reserve counted as cost", per_cent(now.quoted))
    if now.planned is not None:
        yield row("  by the plan, the reserve untouched", per_cent(now.planned))
        yield row("  now, in the middle", _left(now.margins[MIDDLE]), "1")
        yield row("  now, where 8 in 10 builds do better", _left(now.margins[EIGHT]))
    if now.loses is not None:
        yield row("  it loses money in", chance_said(now.loses))


def _left(margin: float | None) -> str:
    """A margin; nothing where there is no price to have one of."""
    return "" if margin is None else per_cent(margin)


def _to_go(found: Stands) -> Iterator[str]:
    ahead = found.standing.to_go
    yield from bands(("labour", ahead.labour_h, "h"), ("mixed resin for laminates", ahead.resin_l, "L"))
    yield from bands(("bag film", ahead.film_m2, "m2"))
    days = (found.day + timedelta(days=ceil(ahead.days[i].value - 1e-9)) for i in ENDS)
    yield row("  it can be done by", " .. ".join(day.isoformat() for day in days))
    late = max((one.late_days for one in found.standing.buying if one.order_by <= found.day), default=0)
    if late:
        why = "where what is to buy is not on your shelf: see its lead times below"
        yield wrapped(f"up to {late} days later {why}", "  ")


def _tasks(now: Forecast) -> Iterator[str]:
    """Hours still to come by task; what is finished is marked as done, or it stays here."""
    for one in now.tasks[:MOST_TASKS]:
        yield row(f"  {one.name}", f"{one.hours:.1f} h")
    rest = now.tasks[MOST_TASKS:]
    if rest:
        yield dim(row(f"  {len(rest)} more", f"{sum(one.hours for one in rest):.1f} h"))


def _buying(found: Stands) -> Iterator[str]:
    for one in found.standing.buying:
        when = "now" if one.order_by <= found.day else f"by {one.order_by.isoformat()}"
        late = f", comes {one.late_days} days late" if one.late_days and one.order_by <= found.day else ""
        where = f" from {one.supplier}" if one.supplier else ""
        name = f"  {one.item}: {one.eight:.3g} {one.unit} ({one.packs}){where}"
        yield row(name, f"{when}{late}  {about(found.piece.plan, one.money):>8}")


def _lessons(found: Stands) -> Iterator[str]:
    from quoting.measures.showing import unit_like

    for one in found.standing.lessons[:MOST_LESSONS]:
        unit = unit_like(one.words, one.dimension, one.now, found.piece.plan.shop.shop.units)
        before = f"{unit.text(one.before)} ± {per_cent(one.before_spread, 0)}"
        now = f"{unit.text(one.now)} ± {per_cent(one.now_spread, 0)}"
        yield row(named(one.name, one.words), f"{before} -> {now}")


def _earned(plan: Priced, now: Forecast) -> Iterator[str]:
    one = now.earned
    if one is None:
        return
    yield row("  earned so far, of the plan", f"{about(plan, one.ev)} of {about(plan, one.bac)}")
    yield row("  earned for each 1 of cost (CPI)", f"{one.cpi:.2f}")
    yield row("  cost in the end, the rest as planned", about(plan, one.eac_at_budget))
    yield row("  cost in the end, the rest as so far", about(plan, one.eac_at_present))
    if one.pv > 0:
        yield row("  earned for each 1 planned by today (SPI)", f"{one.spi:.2f}")


def _laminates(found: Stands) -> Iterator[str]:
    """A block for every laminate; then for each that is begun what stopping now, and one and two rounds more, would make of it."""
    for panel in found.standing.panels:
        yield block(f"Laminate {panel.part}", _so_far(panel, found.piece.plan.shop.shop.units))
    for part in dict.fromkeys(one.part for one in found.standing.choices):
        title = f"To decide on {part}: each ends flattened, in the middle of what can be"
        yield block(title, _choices(found, [one for one in found.standing.choices if one.part == part]))


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
    yield wrapped(_verdict(found, choices), "  ")


def _choice(found: Stands, one: Choice) -> str:
    name = CHOICES[one.more]
    if one.more is None:
        name += f": {counted(one.rounds, 'round')} more"
    low, middle, high = (f"{one.thickness_m[i].value * 1000:.1f}" for i in ENDS)
    thick = f"{middle} ({low} .. {high}) mm"
    margin = _left(one.margin)
    sometimes = "always" if one.reaches > 1 - RARE else f"in {per_cent(one.reaches, 0)}"
    reaches = "never" if one.reaches < RARE else sometimes
    cost, days = about(found.piece.plan, one.cost[MIDDLE].value), f"{one.days[MIDDLE].value:.0f}"
    if width() < TABLE:
        told = f"{name}: {thick}, thick enough {reaches}; cost {cost}, {days} days"
        return wrapped(told + (f", margin {margin}" if margin else ""), "  ")
    return f"  {name:<32} {thick:>21} {reaches:>7} {cost:>10} {days:>5} {margin:>7}"


def _verdict(found: Stands, choices: Sequence[Choice]) -> str:
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
