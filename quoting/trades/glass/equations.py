"""Custom glass: a firm price, or a glazier's tariff."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, cast

import numpy as np

from quoting.declaration import Compared
from quoting.errors import Problem, one_wanted, unknown
from quoting.takeoff.needs import Doubt, TakeOff, doubt, part_need
from quoting.takeoff.numbers import whole_up
from quoting.trades.glass import GLASS, TARIFFS
from quoting.values import Basis, Num, Pick, basis

SAME_M = 1e-4  # two statements of one thickness: 12.7 mm and 1/2 in

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Pane, Tables
    from quoting.trades.glass.record import Glass, Tariff


def charged_area_m2(*, length_m: float, width_m: float, round_side_m: float, least_m2: float) -> Num:
    """Area a glazier charges [m2]: each side rounded up, never below the least area."""
    length, width = length_m, width_m
    if round_side_m:
        length, width = (float(whole_up(side / round_side_m)) * round_side_m for side in (length_m, width_m))
    return cast("Num", np.maximum(length * width, least_m2))


def tariff_price(
    *, area_m2: Num, perimeter_m: Num, holes: int, per_area: float, per_edge: float, per_hole: float,
    factor: float, factor_on: str, least: float,
) -> Num:  # fmt: skip
    """Price of a panel [money].

    [area x per area + perimeter x per edge + holes x per hole] x factor, the factor covering all of it
    or the area alone; at least the least charge.
    """
    of_area = area_m2 * per_area
    work = perimeter_m * per_edge + holes * per_hole
    covered = {"all": (of_area + work) * factor, "area": of_area * factor + work}[factor_on]
    return np.maximum(covered, least)


def pane(thickness_m: float, tables: Tables) -> Pane | None:
    """The nominal glass that a thickness means, in millimetres or by its inch size; None where there is none."""
    sizes = ((one, size) for one in tables.panes for size in (one.thickness_m, one.inch_m))
    return next((one for one, size in sizes if abs(thickness_m - size) < SAME_M), None)


def per_area(part: Glass, tariff: Tariff, tables: Tables) -> float | None:
    """The tariff's price per area for the part's thickness [money/m2]; None where it has none."""
    wanted = pane(part.thickness, tables)
    return next((price for size, price in tariff.per_area.items() if pane(size, tables) == wanted), None)


def panel_price(part: Glass, shop: Shop, tables: Tables, pick: Pick) -> tuple[Num, Basis]:
    """Price of one panel and how it came about."""
    if part.price is not None:
        firm = pick(part.price)
        return firm, basis("firm price {firm:money} a panel", firm=firm)
    tariff = TARIFFS.of(shop)[part.tariff]
    edge = part.edge or tariff.edge
    area = charged_area_m2(
        length_m=part.length, width_m=part.width, round_side_m=tariff.round_side, least_m2=tariff.least_area
    )
    numbers = {
        "area_m2": area,
        "perimeter_m": 2 * (part.length + part.width),
        "holes": part.holes,
        "per_area": per_area(part, tariff, tables) or 0.0,
        "per_edge": tariff.per_edge[edge],
        "per_hole": tariff.per_hole,
        "factor": tariff.factor[part.treatment],
        "least": tariff.least_charge,
    }
    price = tariff_price(factor_on=tariff.factor_on, **numbers)  # type: ignore[arg-type]
    parts = (
        "{area_m2:area} x {per_area:money_per_area}",
        "{perimeter_m:length} x {per_edge:money_per_length} edge + {holes:number} holes x {per_hole:money}",
    )
    covered = {"all": "({} + {}) x {{factor:number}}", "area": "{} x {{factor:number}} + {}"}[
        tariff.factor_on
    ]
    words = "tariff " + covered.format(*parts) + " {treatment}, at least {least:money}"
    return price, basis(words, treatment=part.treatment, **numbers)


def take_off(part: Glass, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Price and mass of panels."""
    price, words = panel_price(part, shop, tables, pick)
    area = part.length * part.width * part.quantity
    nominal = pane(part.thickness, tables)
    tariff = TARIFFS.of(shop).get(part.tariff)
    lead = part.lead if part.lead is not None else (tariff.lead if tariff else 0.0)
    item = f"{part.treatment} glass {(nominal.thickness_m if nominal else part.thickness) * 1000:g} mm"
    source = f"shop file, glass {part.tariff}" if tariff else "job file"
    supplier = part.supplier or (tariff.supplier if tariff else "")
    need = part_need(
        "glass", part, "panel", {"count": part.quantity}, words, item=item, named_by=f"glass.{part.id}", supplied=part.supplied,
        price=price * part.quantity, source=source, supplier=supplier, lead_days=lead,
    )  # fmt: skip
    return TakeOff(
        needs=(need,),
        drivers={"part": part.quantity, "m2": area},
        facts={"glass_m2": area, "glass_cost": price * part.quantity},
        mass_kg=area * nominal.mass_kg_m2 if nominal else 0.0,
    )


def problems(part: Glass, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """One price, a thickness that glass is made in, and a tariff that knows thickness, edge and treatment."""
    path = f"glass.{part.id}"
    if pane(part.thickness, tables) is None:
        sizes = ", ".join(f"{one.thickness_m * 1000:g}" for one in tables.panes)
        found = f"found {part.thickness * 1000:.4g} mm, no nominal thickness of glass"
        yield Problem.of(
            f"{path}.thickness",
            found,
            f"write one of {sizes} mm, or an inch size",
            "not_a_choice",
            thickness=part.thickness * 1000,
        )
    if (part.price is None) == (not part.tariff):
        given = int(part.price is not None) + int(bool(part.tariff))
        yield Problem.of(
            f"{path}.price", f"{one_wanted(given)} of price and tariff", "write one of them", "one_of"
        )
        return
    if part.price is not None:
        return
    if part.tariff not in TARIFFS.of(shop):
        yield unknown(f"{path}.tariff", part.tariff, TARIFFS.of(shop))
        return
    tariff = TARIFFS.of(shop)[part.tariff]
    if per_area(part, tariff, tables) is None:
        priced_sizes = ", ".join(f"{size * 1000:g} mm" for size in tariff.per_area)
        found = f"found {part.thickness * 1000:g} mm, not in the tariff"
        yield Problem.of(
            f"{path}.thickness",
            found,
            f"write one of {priced_sizes}",
            "not_a_choice",
            thickness=part.thickness * 1000,
        )
    edge = part.edge or tariff.edge
    for field, name, known in (("edge", edge, tariff.per_edge), ("treatment", part.treatment, tariff.factor)):
        if name not in known:
            yield unknown(f"{path}.{field}", name, known, ", not in the tariff")


def doubts(part: Glass, shop: Shop, tables: Tables) -> Iterator[Doubt]:  # noqa: ARG001
    """Annealed glass that is not fully supported."""
    if part.treatment == "annealed" and not part.fully_supported:
        words = "annealed glass of {thickness:length} on an open table breaks into long shards: safety glazing (tempered or laminated) is usual; local codes decide"
        yield doubt("annealed_glass", f"glass.{part.id}.treatment", words, thickness=part.thickness)


def answers(first: Compared, other: Compared) -> Iterator[tuple[str, float, str]]:
    """Name, figure and words of what another treatment costs, the panes as they are in the other version."""
    before = {part.id: part.treatment for part in GLASS.of(first.brief.job)}
    panes = GLASS.of(other.brief.job)
    changed = [part for part in panes if before.get(part.id, part.treatment) != part.treatment]
    if not changed:
        return
    as_before = (replace(part, treatment=before.get(part.id, part.treatment)) for part in panes)
    more = other.cost_of("glass") - other.cost_of("glass", GLASS.put(other.brief.job, as_before))
    words = f"{changed[0].treatment} instead of {before[changed[0].id]} glass costs {abs(more):,.2f}"
    yield "glass_treatment", more, f"{words} {'less' if more < 0 else 'more'}"
