"""A brief whose numbers remember: every input a leaf, by the name under which files and settings know it."""

import math
from collections.abc import Callable
from dataclasses import Field, dataclass, fields, is_dataclass, replace
from typing import Any, get_type_hints

from quoting.by_trade import is_by_trade
from quoting.formulas.number import Trace
from quoting.job.brief import Brief
from quoting.job.form import dimension_of
from quoting.job.starters import with_defaults
from quoting.reading.fields import Part
from quoting.takeoff.delivery import beyond_furthest
from quoting.trades.registry import sections
from quoting.values import Uncertain

WHOLE = ("pay", "overhead", "machine", "sundries", "supplier")
"""Sections of the shop file of which every number may be changed."""
PRICED = ("delivery", "channel")
"""Sections of which what is money may be changed, and the share that money costs; trades declare more."""
HOURS = {"overhead.sold_hours": "number"}
"""What shares a type with amounts and is none."""


@dataclass(frozen=True, slots=True)
class Input:
    """An input of the model: its path, its dimension, its value [canonical], its range, where it stands."""

    path: str
    dimension: str
    value: float
    low: float
    high: float
    source: str


def _each(record: Any, changed: Callable[[Field[Any], Any, str], Any]) -> Any:
    """A copy of a record with every field as it is `changed`: given the field, its value and its dimension."""
    hints = get_type_hints(type(record), include_extras=True)
    new = {
        one.name: changed(one, getattr(record, one.name), dimension_of(hints[one.name]))
        for one in fields(record)
    }
    return replace(record, **new)


class Leaves:
    """Makes the numbers of a brief remember. `fixed` are names that may not be changed."""

    def __init__(self, trace: Trace, fixed: frozenset[str]) -> None:
        self.trace, self.fixed = trace, fixed
        self.found: dict[str, Input] = {}
        self.raw: dict[str, Any] = {}

    def leaf(
        self, path: str, dimension: str, value: float, source: str, ends: tuple[float, float] | None = None
    ) -> Any:
        """An input that may be changed, unless it is among the fixed ones; its range, where it has one."""
        low, high = ends or (value, value)
        self.found.setdefault(path, Input(path, dimension, value, low, high, source))
        return self.trace.leaf(path, value, path not in self.fixed)

    def brief(self, brief: Brief) -> Brief:
        """The brief with a leaf for every range, rate, price and amount, and for the distance; sizes are fixed leaves."""
        self.raw = with_defaults(brief.sources[1].raw)
        shop = self._ranges(brief.shop, "", "shop file")
        hints = get_type_hints(type(shop), include_extras=True)
        own = {
            name: self._amounts(given, name, False) if sections()[name][1].priced else given
            for name, given in shop.sections.items()
        }
        shop = replace(shop, sections=own)
        for name in (*WHOLE, *PRICED):
            found = self._amounts(getattr(shop, name), name, name in WHOLE, dimension_of(hints[name]))
            shop = replace(shop, **{name: found})
        if brief.shop.tax.registered:
            rate = self.leaf("tax.rate", "share", brief.shop.tax.rate, "shop file")
            shop = replace(shop, tax=replace(shop.tax, rate=rate))
        job = self._ranges(brief.job, "", "job file")
        parts = {trade: tuple(self._sizes(trade, one) for one in those) for trade, those in job.parts.items()}
        job = replace(job, parts=parts)
        if job.delivery is not None and not beyond_furthest(brief.job, brief.shop):
            # The sheet keeps a distance within `furthest`: the question whether it lies beyond is settled.
            shop = replace(shop, delivery=replace(shop.delivery, furthest=math.inf))
            job = replace(job, delivery=self._distance(job.delivery))
        book = {name: self._prices(rows) for name, rows in brief.book.items()}
        return replace(brief, job=job, shop=shop, book=book)

    def _ranges(self, record: Any, path: str, source: str, dimension: str = "") -> Any:
        """A copy of a record in which every uncertain input is a leaf."""
        if isinstance(record, Uncertain):
            if not record.name:
                return record
            one = self.leaf(record.name, dimension, record.likely, source, (record.low, record.high))
            cause = self._ranges(record.cause, "", source, "number") if record.cause else None
            return Uncertain(one, one, one, record.name, record.coin, cause)
        if isinstance(record, dict):
            return {
                name: self._ranges(value, f"{path}.{name}".strip("."), source, dimension)
                for name, value in record.items()
            }
        if isinstance(record, tuple) and hasattr(record, "_fields"):
            unit = getattr(record, "unit", None)
            of = unit.dimension if unit is not None else dimension
            return type(record)(*(self._ranges(value, path, source, of) for value in record))
        if isinstance(record, tuple):
            return tuple(self._ranges(value, path, source, dimension) for value in record)
        if not is_dataclass(record) or isinstance(record, type):
            return record
        return _each(
            record,
            lambda field, value, of: self._ranges(
                value, path if is_by_trade(field) else f"{path}.{field.name}".strip("."), source, of
            ),
        )

    def _amounts(self, record: Any, path: str, whole: bool, dimension: str = "") -> Any:
        """A copy of a part of the shop file in which amounts are leaves; with `whole`, all its numbers."""
        if isinstance(record, bool) or record is None:
            return record
        if isinstance(record, float):
            dimension = HOURS.get(path, dimension)
            wanted = whole or dimension.startswith("money") or path.endswith(".money_cost")
            return self.leaf(path, dimension, record, "shop file") if wanted else record
        if isinstance(record, dict):
            keys = zip(record, self._written(path, record), strict=True)
            return {one: self._amounts(record[one], f"{path}.{key}", whole, dimension) for one, key in keys}
        if not is_dataclass(record) or isinstance(record, type | Uncertain):
            return record
        return _each(record, lambda field, value, of: self._amounts(value, f"{path}.{field.name}", whole, of))

    def _written(self, path: str, record: dict[Any, Any]) -> list[str]:
        """The keys of a table as the shop file writes them: sizes have become plain numbers."""
        raw: Any = self.raw
        for step in path.split("."):
            raw = raw.get(step, {})
        return list(raw) if len(raw) == len(record) else [str(name) for name in record]

    def _sizes(self, trade: str, part: Part) -> Part:
        """A part whose sizes and counts are remembered; they are fixed, for shapes and rounds rest on them."""
        changed: dict[str, Any] = {
            field.name: self.trace.leaf(f"{trade}.{part.id}.{field.name}", value, live=False)
            for field in fields(part)
            if isinstance(value := getattr(part, field.name), int | float) and not isinstance(value, bool)
        }
        return replace(part, **changed)

    def _distance(self, delivery: Any) -> Any:
        for name in ("road_distance", "straight_distance"):
            value = getattr(delivery, name)
            if value is not None:
                one = self.leaf(f"delivery.{name}", "distance", value, "job file")
                delivery = replace(delivery, **{name: one})
        return delivery

    def _prices(self, rows: Any) -> Any:
        """The rows of an item; with several packs the cheapest cover is a matter of steps, and they stay as they are."""
        if len(rows) > 1:
            return rows
        (row,) = rows
        price = self.leaf(f"prices.{row.item}", f"money a {row.unit.name}", row.price, "price file")
        return (replace(row, price=price),)
