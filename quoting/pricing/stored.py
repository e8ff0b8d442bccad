"""The records that a price is made of, by name: what frozen results are read back into."""

from __future__ import annotations

from dataclasses import is_dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from quoting import measures, values
from quoting.job import job, resin_trades, selling, shop, standards, stock, trades
from quoting.nesting import record as cut_plan
from quoting.pricing import bench, calendar, chain, price_rules, record
from quoting.pricing import bench as mixing
from quoting.pricing import bench as pouring
from quoting.pricing import chain as stages
from quoting.pricing import lists as cutting
from quoting.reading import fields, part

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from types import ModuleType

_MODULES: tuple[ModuleType, ...] = (
    values, measures, fields, part, trades, resin_trades, selling, standards, shop, stock, job,
    cut_plan,
    stages, price_rules, chain, cutting, mixing, pouring, bench, calendar, record,
)  # fmt: skip


def _records(modules: Iterable[ModuleType]) -> Mapping[str, type[Any]]:
    """Dataclasses and named tuples of modules. Raises ValueError where two share a name."""
    found: dict[str, type[Any]] = {}
    for module in modules:
        for name, one in vars(module).items():
            record = (
                isinstance(one, type)
                and (is_dataclass(one) or hasattr(one, "_fields"))
                and not one.__module__.endswith("rectangles")
            )
            if record and found.setdefault(name, one) is not one:
                raise ValueError(f"two records are named {name}")
    return MappingProxyType(found)


RECORDS = _records(_MODULES)
"""Every record that may stand in frozen results."""
