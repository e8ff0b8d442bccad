"""Boards with knots, splits or sapwood: what must not be in a piece is sawn out, and clear rectangles are left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cutting.rectangles import Node, Region, parted

if TYPE_CHECKING:
    from collections.abc import Sequence


def clearings(length: int, width: int, zones: Sequence[Region], kerf: int) -> tuple[Node, ...]:
    """Ways to saw the zones out of a board: across the grain first, or along it first; one way where that is the same.

    Regions carry the kerf of the cut that ends them, as pieces do; that of a cut before a zone comes out of the zone.
    """
    board = Region(0, 0, length + kerf, width + kerf)
    return tuple(dict.fromkeys(_cleared(board, zones, kerf, across) for across in (True, False)))


def _cleared(region: Region, zones: Sequence[Region], kerf: int, across: bool) -> Node:
    """A region with one cut before or behind the first zone that reaches into it, and the same of both its sides."""
    zone = next((one for one in zones if _meet(region, one, kerf)), None)
    if zone is None:
        return Node(region)
    for way in (across, not across):
        start, size = (region.x, region.length) if way else (region.y, region.width)
        begin, long = (zone.x, zone.length) if way else (zone.y, zone.width)
        at = begin + kerf - start if begin > start else begin + long - start
        if begin > start or at < size - kerf:
            sides = (_cleared(side, zones, kerf, across) for side in _sides(region, way, at))
            return parted(region, way, at, *sides)
    return Node(region, clear=False)


def _meet(region: Region, zone: Region, kerf: int) -> bool:
    """True where a zone reaches into what a region is without its last kerf."""
    return (
        zone.x < region.x + region.length - kerf
        and region.x < zone.x + zone.length
        and zone.y < region.y + region.width - kerf
        and region.y < zone.y + zone.width
    )


def _sides(region: Region, across: bool, at: int) -> tuple[Region, Region]:
    x, y, length, width = region
    if across:
        return Region(x, y, at, width), Region(x + at, y, length - at, width)
    return Region(x, y, length, at), Region(x, y + at, length, width - at)
