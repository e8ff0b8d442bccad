"""An input of the model as a sheet shows it, and which numbers of the shop file are inputs."""

from __future__ import annotations

from dataclasses import dataclass

WHOLE = ("pay", "overhead", "machine", "sundries", "supplier")
"""Sections of the shop file of which every number may be changed."""
PRICED = ("glass", "bagging", "delivery", "channel")
"""Sections of which what is money may be changed, and the share that money costs."""
HOURS = {"overhead.billable_hours": "number"}
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
