"""The command that says how far a piece can be delivered."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import reach_data
from quoting.cli.app import (
    Answer,
    Details,
    Json,
    Overwrite,
    Picture,
    Settings,
    Shop,
    arg,
    command,
    same,
    this_day,
)
from quoting.cli.shape import answer, part
from quoting.cli.terminal import about, aside, block, blocks, dim, money, row, wrapped
from quoting.measures.showing import as_far, far, per_cent, road_unit

if TYPE_CHECKING:
    from quoting.pricing.reach import Radius
    from quoting.runs.reach import Found

COLUMNS = "{:>8}{:>9}{:>8}{:>8}{:>10}{:>8}{:>8}"
FEW = 10  # miles or kilometres that are worth asking about
LEAST = -9.99  # margins below are told as less


@command("drawing")
def reach(
    job: Annotated[Path | None, arg("[JOB]", "The job file; or none, with --price and --cost.")] = None,
    shop: Shop = None,
    setting: Settings = None,
    price: Annotated[str, arg("--price", "Another price than the job's, as you show your prices.", "P")] = "",
    cost: Annotated[
        str, arg("--cost", "Without a job: what the piece costs, its delivery left out.", "C")
    ] = "",
    to: Annotated[str, arg("--to", 'A place: "latitude, longitude", or a ZIP code.', "PLACE")] = "",
    road: Annotated[str, arg("--road", 'A distance by road: "45 mi".', "DISTANCE")] = "",
    carrier: Annotated[
        str, arg("--carrier", "What a carrier asks, to compare with your own trip.", "P")
    ] = "",
    out: Picture = None,
    overwrite: Overwrite = False,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say how far a piece can be delivered free, and with which surcharge beyond.

    By distance; with one more helper, with a hired van, by a carrier.
    """
    from quoting.runs import reach as recipes

    asked = recipes.Asked(price, cost, to, road, carrier, overwrite)
    found = recipes.reach(job, shop, this_day(), Path.cwd(), setting or (), asked, out)
    said = (reach_data if as_json else _text if details else _answer)(found)
    after: list[str | Path] = []
    if job is not None:
        asked_about = (
            ("quote", job) if found.asked_m is not None else ("reach", job, "--road", _beyond(found))
        )
        after = [*asked_about, *same(shop, setting)]
    return Answer(said, found.written, found.policies_broken, next=after, brief=not details)


def _beyond(found: Found) -> str:
    """A distance that is worth asking about: twice as far as delivery is free, in whole miles or kilometres."""
    name, metres = road_unit(found.shop.shop.units)
    return f"{max(round(2 * found.reach.free_m / metres), FEW)} {name}"


def _answer(found: Found) -> str:
    """How far a price reaches; then the delivery and the carrier asked about, or the surcharge by distance."""
    reach, rules, first = found.reach, found.reach.rules, found.reach.radii()[0]
    asked, floor = per_cent(rules.margin), per_cent(rules.floor)
    figures = [
        (_money(found, reach.sale.seen), "price, with tax" if rules.included else "price, before tax"),
        (as_far(first.at_margin, found.shop.shop.units), f"free, and {asked} margin kept"),
        (as_far(first.at_floor, found.shop.shop.units), f"free, down to your floor of {floor}"),
        (_about(found, reach.costs[0].amount), f"{reach.costs[0].name}, without a trip"),
        (far(reach.free_m, found.shop.shop.units), "free by your rule"),
        (far(reach.furthest_m, found.shop.shop.units), "your furthest delivery"),
    ]
    asked_m = found.asked_m
    about_it = () if asked_m is None else _asked(found, asked_m)
    return answer(
        f"How far {found.title} can be delivered",
        figures,
        part(f"A delivery {_where(found, asked_m)}" if asked_m is not None else "", about_it),
        part("A carrier", _carrier(found)),
        "" if asked_m is not None else part("By distance", _table(found, every=2)),
        _credit(found),
    )


def _credit(found: Found) -> str:
    """Whom the coordinates of a place are owed to: their licence asks for it wherever they are shown."""
    return aside(found.place.credit) if found.place is not None and found.place.credit else ""


def _text(found: Found) -> str:
    """Radii, ways to bring it, the table by distance, and what was asked about."""
    reach, shop = found.reach, found.shop
    distance = reach.free_m if found.asked_m is None else found.asked_m
    ways = f"Ways to bring it ({reach.costs[0].name}); a trip of {far(distance, shop.shop.units)}, and how far free"
    delivery = "" if found.asked_m is None else f"A delivery {_where(found, found.asked_m)}"
    return blocks(
        block(f"How far {found.title} can be delivered", _price(found)),
        block("Delivered free, the margin lasts as far as", _radii(found)),
        block(ways, _ways(found, distance)),
        block("By distance", _table(found)),
        block(delivery, _asked(found, distance)) if delivery else "",
        block("A carrier", _carrier(found)),
        "\n".join(aside(note) for note in _notes(found)),
    )


def _price(found: Found) -> Iterator[str]:
    reach = found.reach
    tax = " with tax" if reach.rules.included else ", before tax"
    yield row(f"  price, as you show it{tax}", _money(found, reach.sale.seen))
    yield from (row(f"  {one.name}, without its trip", _about(found, one.amount)) for one in reach.costs)


def _radii(found: Found) -> Iterator[str]:
    yield _radius_head(found)
    yield from (_radius(found, one.name, one) for one in found.reach.radii())


def _radius_head(found: Found) -> str:
    rules = found.reach.rules
    return dim(
        row("", f"{f'floor {per_cent(rules.floor, 0)}':>16}{f'asked {per_cent(rules.margin, 0)}':>16}")
    )


def _radius(found: Found, name: str, one: Radius) -> str:
    floor, asked = (as_far(at, found.shop.shop.units) for at in (one.at_floor, one.at_margin))
    return row(f"  {name}", f"{floor:>16}{asked:>16}")


def _ways(found: Found, distance_m: float) -> Iterator[str]:
    """What a helper more or a hired van changes, at the first cost: what a trip costs, and how far it goes."""
    yield _radius_head(found)
    for way, radius in zip(found.reach.ways, found.reach.by_way(), strict=True):
        yield _radius(found, f"{way.name}, {_about(found, float(way.trip.cost(distance_m)))}", radius)
    if len(found.reach.ways) < 3:
        yield aside("[delivery] hired_van and hired_per_distance in shop.toml add a hired van", "  ")


def _table(found: Found, every: int = 1) -> Iterator[str]:
    reach, (name, unit) = found.reach, road_unit(found.shop.shop.units)
    yield dim(COLUMNS.format(f"{name} road", "straight", "trip", "if free", "surcharge", "then", "to keep"))
    for one in found.distances()[::every]:
        surcharge, needed = (_about(found, share * reach.seen) for share in (one.surcharge, one.needed))
        road, straight = f"{one.distance / unit:.4g}", f"{one.distance / reach.road_factor / unit:.3g}"
        trip, free, then = _about(found, one.trip), _share(one.free_margin), _share(one.margin)
        mark = "<" if one.distance == found.asked_m else ""
        yield COLUMNS.format(road, straight, trip, free, surcharge, then, needed) + mark
    told = (
        "if free: the margin where the client pays nothing for it; then: the margin with your surcharge; to keep: the"
        " surcharge that keeps the margin asked"
    )
    yield aside(told, "  ")


def _share(margin: float) -> str:
    return "none" if margin < LEAST else per_cent(margin)


def _where(found: Found, distance_m: float) -> str:
    place = f"to {found.place.name}, " if found.place is not None and found.place.name else ""
    straight = (
        "" if found.straight_m is None else f", {far(found.straight_m, found.shop.shop.units)} straight"
    )
    return f"{place}{far(distance_m, found.shop.shop.units)} by road{straight}"


def _asked(found: Found, distance_m: float) -> Iterator[str]:
    """The place or distance that was asked about."""
    reach, one = found.reach, found.reach.row(distance_m)
    yield row("  own trip", _money(found, one.trip))
    yield row("  margin where it is free", _share(one.free_margin))
    yield row("  surcharge by your rule", _money(found, one.surcharge * reach.seen))
    yield row("  margin with it", _share(one.margin))
    yield row("  surcharge that keeps the margin asked", _money(found, one.needed * reach.seen))
    if distance_m > reach.furthest_m:
        yield wrapped("It is beyond your furthest delivery: ask a carrier, or let the client fetch it.", "  ")


def _carrier(found: Found) -> Iterator[str]:
    if found.carrier is None or found.carrier_m is None:
        return
    yield row("  asks", _money(found, found.carrier))
    if found.asked_m is not None:
        own, asks = float(found.reach.trip.cost(found.asked_m)), float(found.carrier)
        less = "less than" if asks < own else "more than" if asks > own else "as much as"
        yield row(f"  {less} your own trip", _about(found, own))
    least = as_far(None if found.carrier_m < 0 else found.carrier_m, found.shop.shop.units)
    yield row("  your own trip costs no more as far as", least)


def _notes(found: Found) -> Iterator[str]:
    free, furthest = (far(one, found.shop.shop.units) for one in (found.reach.free_m, found.reach.furthest_m))
    yield f"Distances are by road; straight ones times {found.reach.road_factor:g}."
    yield f"Within {free} the surcharge is nothing; you deliver as far as {furthest}."
    if found.collected:
        yield "This job is collected: its price carries no trip, so every delivery comes off its margin."
    if found.place is not None and found.place.credit:
        yield f"{found.place.credit}."


def _money(found: Found, amount: Decimal | float) -> str:
    return money(found.shop.shop.currency, amount)


def _about(found: Found, amount: float) -> str:
    return about(found.shop.shop.currency, amount)
