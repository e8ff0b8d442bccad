"""A basis becomes a sentence, in the units of the shop."""

from __future__ import annotations

import re
from string import Formatter
from typing import TYPE_CHECKING, Any

from quoting.measures import shown
from quoting.trades.registry import groups

if TYPE_CHECKING:
    from quoting.values import Basis


def group_title(group: str) -> str:
    """A group of lines as documents name it."""
    own = groups().get(group)
    return own.title if own and own.title else group.removesuffix("_carried").replace("_", " ")


class _Sentence(Formatter):
    """Formats `{value:dimension}` by the dimension's units; `{value}` as it is."""

    def __init__(self, system: str) -> None:
        self.system = system

    def format_field(self, value: Any, format_spec: str) -> str:
        if not format_spec:
            return str(value)
        if format_spec == "money":
            return plain_money(float(value))
        return shown(float(value), format_spec, self.system)


def plain_money(value: float) -> str:
    """An amount inside a sentence: two decimals, up to four below a hundred; no currency."""
    whole = f"{value:,.4f}" if abs(value) < 100 else f"{value:,.2f}00"
    return whole[:-2] if whole.endswith("00") else whole.rstrip("0")


def said(given: Basis, system: str) -> str:
    """The sentence of a basis. `system` is "inch" or "metric"."""
    return _Sentence(system).vformat(given.words, (), given.numbers)


def in_short(sentence: str) -> str:
    """A sentence whose decimals are cut to three digits that count: 22.818 lb becomes 22.8 lb."""
    return re.sub(r"\d+\.\d+", lambda number: _three_digits(float(number.group())), sentence)


def _three_digits(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.3g}"
