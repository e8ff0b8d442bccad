"""Any record as JSON: its fields by name, units in the names of keys, amounts as text in minor digits.

`reference/json_keys.toml` lists the keys of every command. A record whose keys are its fields needs no word here; for
others `picked` says which keys there are, in their order, and which field a key stands for.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.advice import worded
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.advice import Door
    from quoting.errors import Problem
    from quoting.job.job import Job
    from quoting.pricing.record import Warned
    from quoting.risk.drawn import Quantile

FORMAT = 1

Data = dict[str, Any]


def dumped(data: Data) -> str:
    """An answer as JSON text, with the version of its keys and of the tool; a number that is none is refused."""
    whole = plain({"format": FORMAT, "engine": __version__, **data})
    return json.dumps(whole, ensure_ascii=False, indent=2, allow_nan=False)


def plain(value: Any) -> Any:
    """A value as JSON knows it: a record by its fields, an amount as text, a day as 2027-03-01, infinity as null."""
    if isinstance(value, float):
        return None if math.isinf(value) else value
    if isinstance(value, Decimal | date | Path):
        return str(value)
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if _names(value):
        return plain(by_name(value))
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value


def by_name(record: object, **given: Any) -> Data:
    """All fields of a record, with what is `given` in the place of its own, or behind them."""
    return {name: getattr(record, name) for name in _names(record)} | given


def _names(record: object) -> Sequence[str]:
    """The fields of a record; none of anything else."""
    if is_dataclass(record):
        return [field.name for field in fields(record)]
    return getattr(record, "_fields", ())


def picked(record: object, keys: str, /, **given: Any) -> Data:
    """Some of a record: "cost" is its field, "net=contract.net" another field under a name of its own.

    The field of nothing is nothing. What is `given` is taken as it is, in its place among the keys or behind them.
    """
    pairs = (word.partition("=") for word in keys.split())
    found = {key: given[key] if key in given else _field(record, path or key) for key, _, path in pairs}
    return found | given


def _field(record: object, path: str) -> Any:
    value: Any = record
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    return value


def amounts(record: object, digits: int, keys: str) -> Data:
    """Some of a record as `picked` does it, all of which is money that was reckoned in floats."""
    found = picked(record, keys).items()
    return {key: None if value is None else exact(value, digits) for key, value in found}


def share(value: Decimal | None) -> float | None:
    """A share that was reckoned exactly, as a number."""
    return None if value is None else float(round(value, 9))


def chances(table: Iterable[tuple[int, float]], name: str) -> list[Data]:
    """Counts with their chances."""
    return [{name: count, "chance": chance} for count, chance in table]


def margins(cost: Iterable[Quantile], found: Iterable[float | None]) -> list[Data]:
    """Margins at the levels of the cost that they are left by."""
    return [{"level": one.level, "value": margin} for one, margin in zip(cost, found, strict=True)]


def problem_data(
    door: Door, problems: Iterable[Problem], warnings: Iterable[Warned] = (), left_out: Iterable[str] = ()
) -> Data:
    """What is wrong, for other programs: where, of which kind, of which figures, and the words of a door; then what a price of the
    rest is warned of, and the parts that it is without.
    """

    def said(value: str | int) -> str | int:
        return worded(value, door) if isinstance(value, str) else value

    words = ("file", "line", "field", "found", "write")
    told = (
        picked(one, "path code values", **{name: said(getattr(one, name)) for name in words})
        for one in sorted(problems, key=lambda one: (one.file, one.line))
    )
    return {"problems": list(told), "warnings": list(warnings), "left_out": list(left_out)}


def piece_name(job: Job) -> str:
    """What a job is called by programs: its code, else its title."""
    return job.piece.code or job.piece.title
