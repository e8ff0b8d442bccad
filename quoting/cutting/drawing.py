"""The cuts of a stock, of the steps that filled it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cutting.rectangles import Cut, Node, Region, leaves, parted

if TYPE_CHECKING:
    from quoting.cutting.placing import Laid, Step, Stock


def drawn(laid: Laid, stock: Stock) -> Node:
    """A stock as a tree of cuts: first those that saw it clear, then those of every piece. Regions carry their kerf."""
    clearing = stock.clearings[laid.way]
    fields = [one.region for one in leaves(clearing) if one.clear]
    steps = {step.region: step for step in laid.steps}
    rests = {step.region: len(fields) + 2 * n for n, step in enumerate(laid.steps)}

    def filled(region: Region, id: int) -> Node:
        step = steps.get(id)
        if step is None:
            return Node(region)
        x, y, length, width = region
        right, above = x + step.length, y + step.width
        if step.across:
            first, strip = Region(right, y, length - step.length, width), Region(x, y, step.length, width)
            second = Region(x, above, step.length, width - step.width)
        else:
            first, strip = Region(x, above, length, width - step.width), Region(x, y, length, step.width)
            second = Region(right, y, length - step.length, step.width)
        piece = Node(
            Region(x, y, step.length, step.width), piece=step.piece, turned=step.turned, panel=step.panel
        )
        kept = parted(
            strip, not step.across, _at(step, not step.across), piece, filled(second, rests[id] + 1)
        )
        return parted(region, step.across, _at(step, step.across), kept, filled(first, rests[id]))

    fresh = iter(enumerate(fields))

    def grown(node: Node) -> Node:
        if node.cut is not None:
            across, at, first, second = node.cut
            return Node(node.region, Cut(across, at, grown(first), grown(second)))
        if not node.clear:
            return node
        id, region = next(fresh)
        return filled(region, id)

    return grown(clearing)


def _at(step: Step, across: bool) -> int:
    return step.length if across else step.width
