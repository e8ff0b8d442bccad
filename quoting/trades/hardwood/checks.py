"""What makes a part of solid timber impossible, and what casts doubt on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem, nearest, unknown
from quoting.takeoff.needs import Doubt
from quoting.takeoff.numbers import TOLERANCE
from quoting.takeoff.stock import larger_shape, scrap
from quoting.trades.hardwood import TIMBER
from quoting.trades.hardwood.boards import chosen_rough_m, needed_for_m
from quoting.values import INCH_M, basis, key

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.hardwood.record import Hardwood


def problems(part: Hardwood, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """What makes the part impossible to reckon."""
    path = f"hardwood.{part.id}"
    if key(part.species) not in tables.species:
        yield Problem(
            f"{path}.species",
            f'found "{part.species}", not in the reference table',
            nearest(key(part.species), tables.species)
            + ", or describe it in the shop file: [species.<name>] density",
        )
    if part.waste is not None and part.yield_ is not None:
        yield Problem(f"{path}.waste", "found waste and yield", "write one of them")
    if part.yield_ is not None and not 0 < part.yield_.least <= part.yield_.most <= 1:
        yield Problem(f"{path}.yield", "found a yield outside 0 to 100 %", 'write a yield such as "80 %"')
    if chosen_rough_m(part, TIMBER.of(shop)) is None:
        needed = needed_for_m(part, TIMBER.of(shop))
        yield Problem(
            f"{path}.thickness",
            f"found a part that needs stock of {needed * 1000:.4g} mm ({needed / INCH_M:.4g} in), thicker than any size of [timber]",
            "write layers = 2, or another rough",
        )
    yield from larger_shape(path, part)
    if part.joints and part.joinery not in shop.standard:
        yield unknown(f"{path}.joinery", part.joinery, shop.standard)


def doubts(part: Hardwood, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """What the maker should look at again."""
    path = f"hardwood.{part.id}"
    rough = chosen_rough_m(part, TIMBER.of(shop)) or 0.0
    needed = needed_for_m(part, TIMBER.of(shop))
    if rough < needed * (1 - TOLERANCE):
        yield Doubt(
            "thicker_than_stock",
            f"{path}.rough",
            basis(
                "{rough:length} stock is thinner than the {needed:length} that {finished:length} finished needs with planing",
                rough=rough,
                needed=needed,
                finished=part.thickness / part.layers,
            ),
        )
    yield from scrap(path, part, shop, tables)
    yield from _odd_width(path, part, shop)
    if f"hardwood.{part.id}" in tables.yields:
        for field, own in (("waste", part.waste), ("yield", part.yield_)):
            if own is not None:
                words = "the cut plan says what is cut: this is not used"
                yield Doubt("planned", f"{path}.{field}", basis(words))


def _odd_width(path: str, part: Hardwood, shop: Shop) -> Iterator[Doubt]:
    """A board that hardly a yard has, and sizes that look exchanged: the length runs along the grain."""
    if part.glued_up:
        return
    if part.width > part.length * (1 + TOLERANCE):
        words = "{width:length} wide and {length:length} long, though the length runs along the grain: are they exchanged?"
        yield Doubt("exchanged", f"{path}.width", basis(words, width=part.width, length=part.length))
    elif part.width > shop.warnings.wide_board * TIMBER.of(shop).stave_width:
        words = "one board {width:length} wide, where your usual one has {usual:length}: write glued_up = true, or be sure to get it"
        yield Doubt(
            "wide_board", f"{path}.width", basis(words, width=part.width, usual=TIMBER.of(shop).stave_width)
        )


def shop_rules(shop: Shop) -> Iterator[Problem]:
    """Staves that are wider than their joints lose, and in order."""
    timber = TIMBER.of(shop)
    if timber.stave_least <= timber.joint_loss:
        yield Problem("timber.stave_least", "found no more than a joint loses", "write a wider stave")
    if timber.stave_most < timber.stave_least:
        yield Problem("timber.stave_most", "found less than stave_least", "write the widest stave of a panel")
    if timber.stave_width <= timber.joint_loss:
        yield Problem("timber.stave_width", "found no more than joint_loss", "write the usual board width")
