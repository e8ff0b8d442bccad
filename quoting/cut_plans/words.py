"""Cut plans in words, in the units of the shop."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from quoting.measures import shown
from quoting.values import INCH_M, key

if TYPE_CHECKING:
    from quoting.takeoff.stock import CutPlan, SawnPiece, SawnStock, SawStep

NAMES = {"board": ("board", "boards"), "sheet": ("sheet", "sheets"), "bar": ("bar", "bars")}


def rule_words(size_m: float, system: str) -> str:
    """A size as a rule shows it: to the next 1/32 in, or tenth of a millimetre."""
    step = INCH_M / 32 if system == "inch" else 0.0001
    return shown(round(size_m / step) * step, "length", system)


def size_words(length_m: float, width_m: float, system: str) -> str:
    """Length x width; of a bar its length."""
    length = rule_words(length_m, system)
    return f"{length} x {rule_words(width_m, system)}" if width_m else length


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
    return f"{size_words(stock.length_m, stock.width_m, system)}{rack} ({where_words(stock)})"


def where_words(stock: SawnStock) -> str:
    """Where a stock is written: a row of the job file, or a line of a tally."""
    name, dot, number = stock.where.rpartition(".")
    return f"row {number} of {name}" if dot and number.isdigit() else stock.where


def numbered(plan: CutPlan) -> Iterator[tuple[str, SawnStock]]:
    """Every stock that is cut another way, with its name: Board 1, Boards 2 to 4."""
    at = 1
    for stock in plan.stocks:
        one, many = (name.capitalize() for name in NAMES[plan.kind])
        last = at + stock.number - 1
        yield (f"{one} {at}" if stock.number == 1 else f"{many} {at} to {last}, each"), stock
        at = last + 1


def step_words(stock: SawnStock, system: str) -> Iterator[tuple[str, str]]:
    """Every cut in its order, with its number: what is cut, how, where, and which blanks are to size then. Trims have no number."""
    trims = [
        f"{rule_words(size, system)} off {what}"
        for size, what in ((stock.end_m, "each end"), (stock.edge_m, "each edge"))
        if size
    ]
    if trims:
        yield "-", f"trim {' and '.join(trims)}"
    for number, step in enumerate(stock.steps, start=1):
        yield str(number), _step(step, stock, system)


def _step(step: SawStep, stock: SawnStock, system: str) -> str:
    how = "crosscut" if step.across else "rip"
    what = f" the {size_words(step.length_m, step.width_m, system)} of cut {step.of}" if step.of else ""
    gives = " and ".join(f"no. {i + 1}, {_given(stock.pieces[i], system)}" for i in step.gives)
    return f"{how}{what} at {rule_words(step.at_m, system)}" + (f": {gives}" if gives else "")


def _given(piece: SawnPiece, system: str) -> str:
    wide = f", {rule_words(piece.width_m, system)} wide" if piece.panel else ""
    return piece_words(piece) + wide


def blank_words(stock: SawnStock, system: str) -> list[str]:
    """Every blank of a stock with its number and size."""
    return [
        f"no. {i} {piece_words(piece)}: {size_words(piece.length_m, piece.width_m, system)}"
        for i, piece in enumerate(stock.pieces, start=1)
    ]


def panel_words(plan: CutPlan, system: str) -> Iterator[str]:
    """The staves of every panel that is glued up, whichever stock they come from."""
    staves: dict[tuple[str, int], list[float]] = {}
    for stock in plan.stocks:
        for piece in stock.pieces:
            if piece.panel:
                staves.setdefault((piece.part, piece.panel), []).extend([piece.width_m] * stock.number)
    for (part, panel), widths in staves.items():
        yield f"{part}, panel {panel}: {' + '.join(rule_words(one, system) for one in widths)}"


def shopping(plan: CutPlan, supplied: str, system: str) -> dict[str, tuple[int, float]]:
    """Stock of a plan that is bought, or taken from the rack: how many of each, and what one costs."""
    found: dict[str, tuple[int, float]] = {}
    for stock in plan.stocks:
        if stock.supplied == supplied:
            size = f"{size_words(stock.length_m, stock.width_m, system)} ({where_words(stock)})"
            found[size] = (found.get(size, (0, 0.0))[0] + stock.number, stock.price)
    return found


def planned_words(plans: Sequence[CutPlan], item: str, own_price: bool, system: str) -> str:
    """Which boards, sheets or bars of an item the plans buy, at a price of their own or at that of the price file:
    "2 boards 96 in x 8 in"; "" where none is.
    """
    sizes: Counter[tuple[str, str]] = Counter()
    for plan in plans:
        for stock in plan.stocks if key(plan.item) == key(item) else ():
            if stock.supplied == "bought" and stock.own_price == own_price:
                sizes[plan.kind, size_words(stock.length_m, stock.width_m, system)] += stock.number
    return ", ".join(f"{many} {NAMES[kind][many != 1]} {size}" for (kind, size), many in sizes.items())


def offcut_words(stock: SawnStock, system: str) -> list[str]:
    """Sizes of the offcuts that are kept."""
    return [size_words(one.length_m, one.width_m, system) for one in stock.offcuts if one.kept]
