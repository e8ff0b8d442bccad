"""Jobs with stock for the tests of cut plans, and whether a plan can be sawn, judged from its record alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from nesting.checking import Lies, sawable

from quoting.job.starters import shipped
from quoting.runs.pricing import read_brief

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.errors import Problem
    from quoting.job.brief import Brief
    from quoting.takeoff.stock import CutPlan, SawnStock

NM = 1_000_000_000


def shop_of(folder: Path) -> Path:
    """A folder with the starter shop, and a job folder in it."""
    jobs = folder / "jobs"
    jobs.mkdir(parents=True, exist_ok=True)
    for name in ("shop.toml", "prices.csv"):
        (folder / name).write_text(shipped("templates").joinpath(name).read_text("utf-8"), "utf-8")
    return jobs


def brief_of(jobs: Path, text: str, *settings: str) -> tuple[Brief | None, list[Problem]]:
    path = jobs / "job.toml"
    path.write_text(f'format = 1\n[piece]\ntitle = "Bench"\n{text}', "utf-8")
    return read_brief(path, None, settings)


class Sawn(NamedTuple):
    """A region as a maker holds it: corner and size [nm]."""

    x: int
    y: int
    length: int
    width: int


def faults(plan: CutPlan) -> list[str]:
    """All that is wrong with a plan: what lies outside, too close, on a defect, or does not come out of its printed cuts."""
    return [fault for stock in plan.stocks for fault in _faults(stock, plan)]


def _faults(stock: SawnStock, plan: CutPlan) -> list[str]:
    kerf = nm(plan.kerf_m)
    wide = 1.0 if plan.kind == "bar" else stock.width_m
    lies = [
        Lies(0, nm(one.x_m), nm(one.y_m), nm(one.length_m), nm(one.width_m or 1.0), one.turned)
        for one in stock.pieces
    ]
    found = []
    end, edge, long, high = nm(stock.end_m), nm(stock.edge_m), nm(stock.length_m), nm(wide)
    for one in lies:
        if one.x < end or one.y < edge or one.x + one.length > long - end or one.y + one.width > high - edge:
            found.append(f"{one} lies outside")
        for x, y, length, width in (map(nm, zone) for zone in stock.zones):
            if one.x < x + length and x < one.x + one.length and one.y < y + width and y < one.y + one.width:
                found.append(f"{one} lies on a defect")
    for i, one in enumerate(lies):
        for other in lies[:i]:
            along = one.x + one.length + kerf <= other.x or other.x + other.length + kerf <= one.x
            across = one.y + one.width + kerf <= other.y or other.y + other.width + kerf <= one.y
            if not (along or across):
                found.append(f"{one} and {other} lie closer than a kerf")
    if not sawable(lies, kerf):
        found.append("no saw cuts right through all of it")
    return found + _by_hand(stock, plan)


def _by_hand(stock: SawnStock, plan: CutPlan) -> list[str]:
    """Follows the printed cuts with a saw: every one on the piece that it names, and at the end every blank is there."""
    kerf = nm(plan.kerf_m)
    wide = 1.0 if plan.kind == "bar" else stock.width_m
    end, edge = nm(stock.end_m), nm(stock.edge_m)
    start = Sawn(end, edge, nm(stock.length_m) - 2 * end, nm(wide) - 2 * edge)
    held: dict[int, list[Sawn]] = {0: [start]}
    found, ready = [], [start] if not stock.steps else []
    for number, step in enumerate(stock.steps, start=1):
        size = nm(step.length_m), nm(step.width_m) if plan.kind != "bar" else start.width
        mine = next((one for one in held[step.of] if (one.length, one.width) == size), None)
        if mine is None:
            found.append(f"cut {number} finds no {size} of cut {step.of}")
            continue
        held[step.of].remove(mine)
        at = nm(step.at_m)
        if step.across:
            sides = [
                mine._replace(length=at),
                mine._replace(x=mine.x + at + kerf, length=mine.length - at - kerf),
            ]
        else:
            sides = [
                mine._replace(width=at),
                mine._replace(y=mine.y + at + kerf, width=mine.width - at - kerf),
            ]
        held[number] = sides
        for place in step.gives:
            piece = stock.pieces[place]
            corner = (nm(piece.x_m), nm(piece.y_m))
            made = next((one for one in sides if (one.x, one.y) == corner), None)
            if made is None or (made.length, made.width) != (
                nm(piece.length_m),
                nm(piece.width_m) or start.width,
            ):
                found.append(f"cut {number} does not give {piece}")
    given = [place for step in stock.steps for place in step.gives]
    if stock.steps and sorted(given) != list(range(len(stock.pieces))):
        found.append(f"the cuts give {given} of {len(stock.pieces)}")
    return found + [f"{one} is left" for one in ready if len(stock.pieces) != 1]


def nm(size_m: float) -> int:
    return round(size_m * NM)
