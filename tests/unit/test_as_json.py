"""Records as JSON: by their fields, with a word only where a key is called otherwise."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from quoting.as_data.record import amounts, by_name, dumped, picked, share


class Inner(NamedTuple):
    length_m: float
    where: Path


@dataclass(frozen=True, slots=True)
class Outer:
    price: Decimal
    worth: float
    day: date
    inner: Inner | None
    many: tuple[Inner, ...] = ()


INNER = Inner(math.inf, Path("a/b"))
OUTER = Outer(Decimal("2.50"), 2.675, date(2027, 3, 1), INNER, (INNER, Inner(0.5, Path("c"))))
NOTHING = Outer(Decimal(1), 0.0, date(2027, 3, 1), None)


def written(data: dict[str, Any]) -> dict[str, Any]:
    """What is read back, without what every answer begins with."""
    found: dict[str, Any] = json.loads(dumped(data))
    assert list(found)[:2] == ["format", "engine"]
    return {key: found[key] for key in list(found)[2:]}


def test_a_record_is_written_by_its_fields_however_deep_it_lies() -> None:
    inner = {"length_m": None, "where": str(Path("a/b"))}
    assert written({"some": {"record": OUTER}})["some"]["record"] == {
        "price": "2.50",
        "worth": 2.675,
        "day": "2027-03-01",
        "inner": inner,
        "many": [inner, {"length_m": 0.5, "where": "c"}],
    }


def test_a_key_may_be_called_otherwise_than_its_field() -> None:
    found = picked(OUTER, "day how_long=inner.length_m price words", words="so", price=3, more=True)
    assert list(found.items()) == [
        ("day", OUTER.day), ("how_long", math.inf), ("price", 3), ("words", "so"), ("more", True),
    ]  # fmt: skip


def test_the_field_of_nothing_is_nothing() -> None:
    assert picked(NOTHING, "where=inner.where inner") == {"where": None, "inner": None}
    assert amounts(NOTHING, 2, "length=inner.length_m worth") == {"length": None, "worth": Decimal("0.00")}


def test_a_field_that_a_record_lacks_is_refused() -> None:
    with pytest.raises(AttributeError):
        picked(OUTER, "prise")


def test_money_reckoned_in_floats_is_written_in_minor_digits() -> None:
    assert written(by_name(OUTER, **amounts(OUTER, 2, "worth")))["worth"] == "2.68"
    assert written(amounts(OUTER, 0, "worth")) == {"worth": "3"}


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        dumped({"margin": math.nan})


def test_an_exact_share_is_a_number() -> None:
    assert share(Decimal("0.25000000004")) == 0.25
    assert share(None) is None
