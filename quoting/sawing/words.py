"""Cut plans in words, in the units of the shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.measures import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.cutting.record import CutPlan, SawnPiece, SawnStock, SawStep

NAMES = {"board": ("board", "boards"), "sheet": ("sheet", "sheets"), "bar": ("bar", "bars")}


def size_words(length_m: float, width_m: float, system: str) -> str:
    """Length x width; of a bar its length."""
    length = shown(length_m, "length", system)
    return f"{length} x {shown(width_m, 'length', system)}" if width_m else length


def measure_words(value: float, plan: CutPlan, system: str) -> str:
    """What a plan measures its stock by: an area, or a length of bars."""
    return shown(value, "length" if plan.kind == "bar" else "area", system)


def number_words(number: int, plan: CutPlan) -> str:
    """A number of boards, sheets or bars."""
    return f"{number} {NAMES[plan.kind][number != 1]}"


def piece_words(piece: SawnPiece) -> str:
    """The part that a blank is for; a stave says of which panel."""
    if piece.panel:
        return f"{piece.part}, stave of panel {piece.panel}"
    return f"two of {piece.part}, interlocked" if piece.two else piece.part


def stock_words(stock: SawnStock, system: str) -> str:
    """A stock: its size and where it is written."""
    rack = ", from the rack" if stock.supplied == "rack" else ""
    return f"{size_words(stock.length_m, stock.width_m, system)}{rack} ({stock.where})"


def step_words(stock: SawnStock, system: str) -> Iterator[str]:
    """Every cut in its order: what is cut, how, where, and which blanks are to size then."""
    trims = [
        f"{shown(size, 'length', system)} off {what}"
        for size, what in ((stock.end_m, "each end"), (stock.edge_m, "each edge"))
        if size
    ]
    if trims:
        yield f"trim {' and '.join(trims)}"
    for step in stock.steps:
        yield _step(step, stock, system)


def _step(step: SawStep, stock: SawnStock, system: str) -> str:
    how = "crosscut" if step.across else "rip"
    what = f" the {size_words(step.length_m, step.width_m, system)} of cut {step.of}" if step.of else ""
    gives = " and ".join(f"{i + 1} {piece_words(stock.pieces[i])}" for i in step.gives)
    return f"{how}{what} at {shown(step.at_m, 'length', system)}" + (f": {gives}" if gives else "")


def offcut_words(stock: SawnStock, system: str) -> list[str]:
    """Sizes of the offcuts that are kept."""
    return [size_words(one.length_m, one.width_m, system) for one in stock.offcuts if one.kept]
