"""Folders that travel with the package: the starter shop and the sample jobs."""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

NAMED_FAMILIES = ("machine", "species", "cause", "resin", "glass", "supplier", "fee", "sundries", "ply")
"""Sections whose tables a maker names: the template shows examples, none of them is in force."""


def shipped(folder: str) -> Traversable:
    """`templates` or `sample_jobs`: inside an installed package, else beside it in a checkout."""
    inside = files("quoting").joinpath("_data", folder)
    if inside.is_dir():
        return inside
    beside = Path(__file__).resolve().parents[2] / folder
    if not beside.is_dir():
        raise FileNotFoundError(folder)
    return beside


@cache
def _defaults() -> dict[str, Any]:
    """The commented keys of the starter shop file under their headers: what holds where a shop is silent."""
    template = shipped("templates").joinpath("shop.toml").read_text(encoding="utf-8")
    kept = [line for line in template.splitlines() if re.match(r"#[a-z\[\"]|\[", line)]
    return tomllib.loads(re.sub(r"^#", "", "\n".join(kept), flags=re.MULTILINE))


def with_defaults(shop: dict[str, Any]) -> dict[str, Any]:
    """A shop file with everything it leaves out filled from the starter shop."""
    defaults = deepcopy(_defaults())  # whoever changes the tables it gets changes no other shop
    for family in NAMED_FAMILIES:
        own = shop.get(family)
        kept = own if isinstance(own, dict) else {}
        defaults[family] = {name: rows for name, rows in defaults.get(family, {}).items() if name in kept}
    pay = shop.get("pay")
    if not isinstance(pay, dict) or "owner" not in pay:
        defaults["pay"] = {}
    return merged(defaults, shop)


def merged(base: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """`base` with the values of `over` in their places, table by table."""
    result = dict(base)
    for name, value in over.items():
        below = result.get(name)
        result[name] = merged(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return result


def starter_values(shop: dict[str, Any]) -> dict[str, int]:
    """How many values of each section the shop file leaves to the starter shop."""
    counts = {}
    for section, defaults in _defaults().items():
        if isinstance(defaults, dict) and section not in NAMED_FAMILIES:
            missing = _leaves(defaults) - _leaves(shop.get(section, {}))
            if missing:
                counts[section] = len(missing)
    return counts


def _leaves(table: Any, path: str = "") -> set[str]:
    if not isinstance(table, dict):
        return {path}
    return {leaf for name, value in table.items() for leaf in _leaves(value, f"{path}.{name}")}
