"""A reach on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting.cli.amounts import about_in, money_in
from quoting.cli.distances import far, radius_said, unit_of
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line
from quoting.money import exact

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.pricing.reach import Radius
    from quoting.pricing.reach import Row as Distance
    from quoting.runs.reach import Found

COLUMNS = "{:>8}{:>9}{:>8}{:>8}{:>10}{:>8}{:>8}"
LEAST = -9.99  # margins below are told as less


def reach_text(found: Found) -> str:
    """Radii, ways to bring it, the table by distance, and what was asked about."""
    reach = found.reach
    head = [
        bold(one_line(f"How far {found.title} can be delivered")),
        row(
            f"  price, as you show it{' with tax' if reach.rules.included else ', before tax'}",
            _money(found, reach.sale.seen),
        ),
        *(row(f"  {one.name}, without its trip", _about(found, one.amount)) for one in reach.costs),
    ]
    blocks = ["\n".join(head), _radii(found), _ways(found), _table(found), *_asked(found)]
    notes = [
        f"Distances are by road; straight ones times {reach.circuity:g}.",
        f"Within {far(found.shop, reach.free_m)} the surcharge is nothing; you deliver as far as {far(found.shop, reach.furthest_m)}.",
    ]
    if found.collected:
        notes.append(
            "This job is collected: its price carries no trip, so every delivery comes off its margin."
        )
    if found.place is not None and found.place.credit:
        notes.append(f"{found.place.credit}.")
    return "\n\n".join([*blocks, "\n".join(dim(wrapped(note, "")) for note in notes)])


def _radii(found: Found) -> str:
    rows = [bold("Delivered free, the margin lasts as far as"), *_radius_head(found)]
    return "\n".join([*rows, *(_radius(found, one) for one in found.reach.radii())])


def _radius_head(found: Found) -> list[str]:
    rules = found.reach.rules
    return [dim(row("", f"{f'floor {rules.floor:.0%}':>16}{f'asked {rules.margin:.0%}':>16}"))]


def _radius(found: Found, one: Radius) -> str:
    return row(
        f"  {one.name}",
        f"{radius_said(found.shop, one.at_floor):>16}{radius_said(found.shop, one.at_margin):>16}",
    )


def _ways(found: Found) -> str:
    """What a helper more or a hired van changes, at the first cost: what a trip costs, and how far it goes."""
    distance = found.reach.free_m if found.asked_m is None else found.asked_m
    title = f"Ways to bring it ({found.reach.costs[0].name}); a trip of {far(found.shop, distance)}, and how far free"
    rows = [bold(wrapped(title, "")), *_radius_head(found)]
    for way, radius in zip(found.reach.ways, found.reach.by_way(), strict=True):
        name = f"{way.name}, {_about(found, float(way.trip.cost(distance)))}"
        rows.append(_radius(found, radius._replace(name=name)))
    if len(found.reach.ways) < 3:
        hint = "[delivery] hired_van and hired_per_distance in shop.toml add a hired van"
        rows.append(dim(wrapped(hint, "  ")))
    return "\n".join(rows)


def _table(found: Found) -> str:
    unit, metres = unit_of(found.shop)
    heads = (f"{unit} road", "straight", "trip", "if free", "surcharge", "then", "to keep")
    also = () if found.asked_m is None else (found.asked_m,)
    told = (
        "if free: the margin where the client pays nothing for it; then: the margin with your surcharge; to keep: the"
        " surcharge that keeps the margin asked"
    )
    table = [_row(found, one) for one in found.reach.rows(metres, *also)]
    return "\n".join([bold("By distance"), dim(COLUMNS.format(*heads)), *table, dim(wrapped(told, "  "))])


def _row(found: Found, one: Distance) -> str:
    _, unit = unit_of(found.shop)
    mark = "<" if found.asked_m is not None and one.distance == found.asked_m else ""
    return (
        COLUMNS.format(
            f"{one.distance / unit:.4g}",
            f"{one.distance / found.reach.circuity / unit:.3g}",
            _about(found, one.trip),
            _share(one.free_margin),
            _about(found, one.surcharge * found.reach.seen),
            _share(one.margin),
            _about(found, one.needed * found.reach.seen),
        )
        + mark
    )


def _share(margin: float) -> str:
    return "none" if margin < LEAST else f"{margin:.1%}"


def _asked(found: Found) -> Iterator[str]:
    """The place or distance that was asked about, and the carrier."""
    reach = found.reach
    if found.asked_m is not None:
        one = reach.row(found.asked_m)
        where = f"to {found.place.name}, " if found.place is not None and found.place.name else ""
        straight = "" if found.straight_m is None else f", {far(found.shop, found.straight_m)} straight"
        rows = [bold(f"A delivery {where}{far(found.shop, found.asked_m)} by road{straight}")]
        rows += [
            row("  own trip", _money(found, exact(one.trip, found.digits))),
            row("  margin where it is free", _share(one.free_margin)),
            row("  surcharge by your rule", _money(found, exact(one.surcharge * reach.seen, found.digits))),
            row("  margin with it", _share(one.margin)),
            row(
                "  surcharge that keeps the margin asked",
                _money(found, exact(one.needed * reach.seen, found.digits)),
            ),
        ]
        if found.asked_m > reach.furthest_m:
            rows.append(
                wrapped(
                    "It is beyond your furthest delivery: ask a carrier, or let the client fetch it.", "  "
                )
            )
        yield "\n".join(rows)
    if found.carrier is not None and found.carrier_m is not None:
        yield _carrier(found, found.carrier, found.carrier_m)


def _carrier(found: Found, carrier: Any, cheaper_m: float) -> str:
    rows = [bold("A carrier"), row("  asks", _money(found, carrier))]
    if found.asked_m is not None:
        own = float(found.reach.trip.cost(found.asked_m))
        less = "less than" if float(carrier) < own else "more than" if float(carrier) > own else "as much as"
        rows.append(row(f"  {less} your own trip", _about(found, own)))
    rows.append(
        row(
            "  your own trip costs no more as far as",
            radius_said(found.shop, None if cheaper_m < 0 else cheaper_m),
        )
    )
    return "\n".join(rows)


def _money(found: Found, amount: Any) -> str:
    return money_in(found.shop.shop.currency, amount)


def _about(found: Found, amount: float) -> str:
    return about_in(found.shop.shop.currency, amount)
