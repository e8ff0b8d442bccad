"""How good cut plans are, against published optima and a general packing library: python tests/benchmarks/bench_cutting.py DATA

DATA is a folder of published instances: OR-Library `1d_orlib/binpack1.txt` (Falkenauer 1996, Beasley 1990), `2d/beasley1985_gcut*`
(Beasley 1985), `2d/hopper2001a_*` (Hopper and Turton 2001), `2d/berkey1987_Class_01.2bp` (Berkey and Wang 1987).

bars          all twenty u120: the optimum stated in the file
table         gcut1-5, unlimited guillotine, without and with turning: the optima of Cintra et al. 2008
sheets        never more than the library's guillotine packers at their best of all orders, and fewer in total; 100 parts within 2 s

The library's other packers lay pieces that no cut right through can part: their best stands beside, and is not a measure.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import rectpack

from quoting.nesting.bars import Bars, bar_plan
from quoting.nesting.pattern import Offer
from quoting.nesting.rectangles import Piece, Stock, clearings
from quoting.nesting.sheets import points, sheet_plan, table

if TYPE_CHECKING:
    from collections.abc import Iterator

    Rectangles = list[tuple[int, int]]

ANY = Offer(1, None)
GCUT = {False: (56460, 60536, 61036, 61698, 246000), True: (58136, 60611, 61626, 62265, 246000)}
SAWABLE = [
    rectpack.GuillotineBafSas, rectpack.GuillotineBafLas, rectpack.GuillotineBafMaxas, rectpack.GuillotineBafMinas,
    rectpack.GuillotineBssfSas, rectpack.GuillotineBssfLas, rectpack.GuillotineBssfMaxas, rectpack.GuillotineBssfMinas,
    rectpack.GuillotineBlsfSas, rectpack.GuillotineBlsfLas, rectpack.GuillotineBlsfMaxas, rectpack.GuillotineBlsfMinas,
]  # fmt: skip
OTHERS = [
    rectpack.MaxRectsBssf, rectpack.MaxRectsBaf, rectpack.MaxRectsBlsf, rectpack.MaxRectsBl, rectpack.SkylineMwfWm, rectpack.SkylineBlWm,
]  # fmt: skip
SORTS = [rectpack.SORT_AREA, rectpack.SORT_PERI, rectpack.SORT_DIFF, rectpack.SORT_SSIDE, rectpack.SORT_LSIDE, rectpack.SORT_RATIO]  # fmt: skip
MODES = [rectpack.PackingBin.BBF, rectpack.PackingBin.BFF, rectpack.PackingBin.Global]
MOST_SECONDS = 2.0


def bars(data: Path) -> bool:
    """Bins of 150, 120 items."""
    words = (data / "1d_orlib" / "binpack1.txt").read_text().split()
    good, at = True, 1
    for _ in range(int(words[0])):
        name, room, many, best = words[at], *(int(float(word)) for word in words[at + 1 : at + 4])
        sizes = Counter(int(float(word)) for word in words[at + 4 : at + 4 + many])
        at += 4 + many
        found = bar_plan(Bars((room,), (ANY,), tuple(sizes), tuple(sizes.values()), 0))
        assert found is not None
        good &= found.price == best
        print(f"{name}  optimum {best}  ours {found.price}  bound {found.bound}")
    return good


def tables(data: Path) -> bool:
    """Each piece as often as it fits, worth its area."""
    good = True
    for turns, optima in GCUT.items():
        for n, optimum in enumerate(optima, 1):
            many, length, width, *rest = map(
                int, (data / "2d" / f"beasley1985_gcut{n}.txt").read_text().split()
            )
            pieces = [Piece(rest[3 * i], rest[3 * i + 1], 1, turns) for i in range(many)]
            worths = np.array([float(rest[3 * i + 2]) for i in range(many)])
            ways = [way for piece in pieces for way in piece.ways()]
            lengths, widths = (
                points([way[0] for way in ways], length, 999),
                points([way[1] for way in ways], width, 999),
            )
            assert lengths is not None
            assert widths is not None
            best = table(pieces, worths, lengths, widths).worth[-1, -1]
            good &= best == optimum
            print(f"gcut{n}{' turned' if turns else ''}  optimum {optimum}  ours {best:.0f}")
    return good


def instances(data: Path) -> Iterator[tuple[str, Rectangles, int, int]]:
    """Rectangles to be packed in as few bins as can be."""
    for path in sorted((data / "2d").glob("hopper*")):
        _, width, height, *rest = map(int, path.read_text().split())
        yield path.name, list(zip(rest[::2], rest[1::2], strict=True)), width, height
    lines = [
        line.split()
        for line in (data / "2d" / "berkey1987_Class_01.2bp").read_text().splitlines()
        if line.strip()
    ]
    at = 0
    while at < len(lines):
        many, number = int(lines[at + 1][0]), lines[at + 2][0]
        width, height = int(lines[at + 3][0]), int(lines[at + 3][1])
        items = [(int(a), int(b)) for a, b, *_ in lines[at + 4 : at + 4 + many]]
        yield f"class 1, {many}, no. {number}", items, width, height
        at += 4 + many


def library(items: Rectangles, width: int, height: int, turns: bool, packers: list[type]) -> int:
    """Fewest bins over all packers, orders and ways to choose a bin."""
    best = len(items)
    for packer, order, mode in product(packers, SORTS, MODES):
        found = rectpack.newPacker(rectpack.PackingMode.Offline, mode, packer, order, turns)
        for item in items:
            found.add_rect(*item)
        found.add_bin(width, height, count=float("inf"))
        found.pack()
        placed = found.rect_list()
        if len(placed) == len(items):
            best = min(best, len({one[0] for one in placed}))
    return best


def sheets(data: Path) -> bool:
    """Bins of ours and of the library, oriented and turned."""
    good = True
    for turns in (False, True):
        totals = [0, 0, 0, 0]
        for name, items, width, height in instances(data):
            kinds = Counter(items)
            pieces = [Piece(a, b, many, turns) for (a, b), many in sorted(kinds.items(), reverse=True)]
            start = time.perf_counter()
            found = sheet_plan(pieces, [Stock(ANY, clearings(width, height, (), 0))])
            taken = time.perf_counter() - start
            assert found is not None
            sawn, other = (library(items, width, height, turns, packers) for packers in (SAWABLE, OTHERS))
            totals = [
                had + more for had, more in zip(totals, (found.price, found.bound, sawn, other), strict=True)
            ]
            missed = found.price > sawn or taken > MOST_SECONDS
            good &= not missed
            print(
                f"{name}{' turned' if turns else ''}  ours {found.price}  bound {found.bound}  library {sawn}"
                f" ({other} by what cannot be sawn)  {taken:.2f} s{'  MISSED' if missed else ''}"
            )
        print(
            f"in all{' turned' if turns else ''}  ours {totals[0]}  bound {totals[1]}  library {totals[2]} ({totals[3]})"
        )
        good &= totals[0] < totals[2]
    return good


def main() -> int:
    """Print the tables; 1 where one is missed."""
    data = Path(sys.argv[1])
    return 0 if all([bars(data), tables(data), sheets(data)]) else 1


if __name__ == "__main__":
    sys.exit(main())
