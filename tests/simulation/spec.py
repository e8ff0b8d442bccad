"""What the files of the simulated job state, read by plain arithmetic: ranges in metres, litres, kilograms and hours."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    import numpy as np

HOME = Path(__file__).parent / "job"
JOB = HOME / "job.toml"

UNITS = {
    "": 1.0, "mm": 0.001, "m": 1.0, "km": 1.0, "m2": 1.0, "min": 1 / 60, "h": 1.0, "%": 0.01, "L": 1.0,
    "L/m2": 1.0, "g/m2": 0.001, "kg/L": 1.0, "/km": 1.0, "km/h": 1.0,
}  # fmt: skip
"""Factors to the units in which `builds` reckons: m, m2, L, kg, h; roads in km."""


class Range(NamedTuple):
    """The least, likely and most of something uncertain."""

    low: float
    likely: float
    high: float

    @property
    def mean(self) -> float:
        """Of the beta-PERT: (low + 4 likely + high) / 6."""
        return (self.low + 4 * self.likely + self.high) / 6

    def drawn(self, rng: np.random.Generator) -> float:
        """A value of the beta-PERT distribution, as the quotient of two gamma variates.

        Shape parameters 1 + 4 (likely - low) / (high - low) and 1 + 4 (high - likely) / (high - low) (Vose, Risk
        Analysis, from memory); X / (X + Y) of gamma variates is beta (Devroye, Non-Uniform Random Variate
        Generation, IX.4, from memory).
        """
        if self.high == self.low:
            return self.likely
        width = self.high - self.low
        x = rng.gamma(1 + 4 * (self.likely - self.low) / width)
        y = rng.gamma(1 + 4 * (self.high - self.likely) / width)
        return self.low + width * x / (x + y)


def ranged(text: str | float) -> Range:
    """A range such as "4 .. 6 .. 10 min", or a single value, which is a range without width."""
    if not isinstance(text, str):
        return Range(text, text, text)
    numbers = text.replace("..", " ").split()
    unit = "" if numbers[-1].replace(".", "", 1).isdecimal() else numbers.pop()
    found = [float(number) * UNITS[unit] for number in numbers]
    return Range(*found) if len(found) == 3 else Range(*found * 3)


def one(text: str | float) -> float:
    """A value that is not uncertain."""
    return ranged(text).likely


class Spec(NamedTuple):
    """The job, its shop and its prices as they are written."""

    job: Any
    shop: Any
    price: dict[str, float]


def spec() -> Spec:
    """The files of the simulated job."""
    with (HOME / "prices.csv").open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        price = {row["item"]: float(row["price"]) for row in rows}
    job, shop = (
        tomllib.loads((HOME / name).read_text(encoding="utf-8")) for name in ("job.toml", "shop.toml")
    )
    return Spec(job, shop, price)
