"""Which inputs a drawn reserve rests on: those that meet an uncertain one other than by addition."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting.live.number import Number

if TYPE_CHECKING:
    from collections.abc import Iterable


def moving_the_reserve(costs: Iterable[Any], uncertain: frozenset[str]) -> frozenset[str]:
    """Names of the live inputs that would move a reserve drawn over the sum of `costs`.

    The reserve is what 8 in 10 draws cost less what the plan costs. An amount that is only added moves both
    alike, and so leaves it as it is; a factor of something uncertain does not, nor does an uncertain input.
    """
    known: dict[int, frozenset[str]] = {}
    return frozenset().union(*(_moving(one, uncertain, known) for one in costs))


def _moving(one: Any, uncertain: frozenset[str], known: dict[int, frozenset[str]]) -> frozenset[str]:
    if not isinstance(one, Number) or not one.inputs & uncertain:
        return frozenset()
    if id(one) not in known:
        if one.op == "+":
            found = frozenset().union(*(_moving(part, uncertain, known) for part in one.args))
        elif one.op in ("*", "/") and (factor := _certain_factor(one, uncertain)) is not None:
            # c x (u + ...): what is added within stays added, and c itself weighs the uncertain part.
            found = _moving(factor[1], uncertain, known) | factor[0]
        else:
            found = one.live
        known[id(one)] = found
    return known[id(one)]


def _certain_factor(one: Number, uncertain: frozenset[str]) -> tuple[frozenset[str], Any] | None:
    """The live inputs of the factor that is certain, and the other factor; None where both are uncertain."""
    first, second = one.args
    for factor, other in ((first, second), (second, first)):
        inputs = factor.inputs if isinstance(factor, Number) else frozenset()
        if not inputs & uncertain and not (one.op == "/" and other is second):
            return (factor.live if isinstance(factor, Number) else frozenset()), other
    return None
