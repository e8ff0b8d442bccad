"""Numbers that remember how they were reckoned, and the record of one run of them."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from typing import Any

import numpy as np

VALUES: dict[str, Callable[..., Any]] = {
    "+": operator.add, "*": operator.mul, "/": operator.truediv, "<": operator.lt, "<=": operator.le,
    ">": operator.gt, ">=": operator.ge, "=": operator.eq, "max": max, "min": min, "ceil": np.ceil,
    "floor": np.floor, "log2": np.log2, "power": np.power, "abs": abs,
    "if": lambda test, then, other: then if test else other,
}  # fmt: skip
"""What an expression may hold, and how its value is found."""
COMPARISONS = ("<", "<=", ">", ">=", "=")
UFUNCS: dict[Any, str] = {
    np.add: "+", np.multiply: "*", np.true_divide: "/", np.maximum: "max", np.minimum: "min",
    np.ceil: "ceil", np.floor: "floor", np.log2: "log2", np.power: "power", np.less: "<",
    np.less_equal: "<=", np.greater: ">", np.greater_equal: ">=", np.equal: "=", np.absolute: "abs",
}  # fmt: skip


def _operator(op: str, turned: bool = False) -> Callable[[Any, Any], Any]:
    """The method of a number for an operation with another; `turned` where the other one comes first."""

    def method(one: Any, other: Any) -> Any:
        return reckoned(op, other, one) if turned else reckoned(op, one, other)

    return method


class Trace:
    """Expressions of one run. Equal expressions are one object, so that a cell can stand for all of them."""

    def __init__(self) -> None:
        self.stopped: set[str] = set()
        self._nodes: dict[tuple[Any, ...], Number] = {}

    def leaf(self, name: str, value: float, live: bool) -> Number:
        """An input by its name; one that is not live is only remembered."""
        key = ("input", name)
        if key not in self._nodes:
            names = frozenset({name})
            self._nodes[key] = Number(self, "input", (name,), value, names, names if live else frozenset())
        return self._nodes[key]

    def node(self, op: str, args: tuple[Any, ...], value: float) -> Number:
        """The expression of an operation on numbers, some of which are remembered."""
        key = (op, *(id(one) if isinstance(one, Number) else ("value", one) for one in args))
        if key not in self._nodes:
            numbers = [one for one in args if isinstance(one, Number)]
            inputs = frozenset().union(*(one.inputs for one in numbers))
            live = frozenset().union(*(one.live for one in numbers))
            self._nodes[key] = Number(self, op, args, value, inputs, live)
        return self._nodes[key]


class Number:
    """A value, the operation that gave it and its operands; or an input, by its name.

    `inputs` are the names of all inputs below it; `live` those that may be changed. What cannot be followed
    (a whole number asked for, a branch taken) is answered from the value, and the live inputs
    below are noted as stopped: a formula would not follow them either. A difference is a sum with what is taken off times -1.
    """

    __slots__ = ("args", "inputs", "live", "op", "trace", "value")
    __hash__ = object.__hash__

    def __init__(
        self, trace: Trace, op: str, args: tuple[Any, ...], value: float,
        inputs: frozenset[str], live: frozenset[str],
    ) -> None:  # fmt: skip
        self.trace, self.op, self.args, self.value = trace, op, args, value
        self.inputs, self.live = inputs, live

    def __repr__(self) -> str:
        return f"{self.op}{self.args!r} = {self.value!r}"

    def __format__(self, spec: str) -> str:
        return format(self.value, spec)

    __add__, __radd__ = _operator("+"), _operator("+", turned=True)
    __mul__, __rmul__ = _operator("*"), _operator("*", turned=True)
    __truediv__, __rtruediv__ = _operator("/"), _operator("/", turned=True)
    __lt__, __le__, __gt__, __ge__ = _operator("<"), _operator("<="), _operator(">"), _operator(">=")
    __eq__ = _operator("=")

    def __sub__(self, other: Any) -> Any:
        return self + reckoned("*", -1.0, other)

    def __rsub__(self, other: Any) -> Any:
        return other + -self

    def __neg__(self) -> Any:
        return reckoned("*", -1.0, self)

    def __abs__(self) -> Any:
        return reckoned("abs", self)

    def __ne__(self, other: object) -> bool:
        # Asked where words mention only what is not neutral: the reckoning is the same either way.
        return bool(self.value != value_of(other))

    def __bool__(self) -> bool:
        # Whether a number is there at all is asked of inputs; a live one that is there stays there.
        return bool(self._answered()) if self.op in COMPARISONS else self.value != 0

    def __float__(self) -> float:
        return float(self._answered())

    def __index__(self) -> int:
        return operator.index(int(self._answered()))

    def __round__(self) -> int:
        return round(float(self._answered()))

    def _answered(self) -> Any:
        self.trace.stopped |= self.live
        return self.value

    def __array_ufunc__(self, ufunc: Any, method: str, *args: Any, **options: Any) -> Any:
        if method == "__call__" and not options:
            if ufunc is np.subtract:
                return args[0] + reckoned("*", -1.0, args[1])
            if ufunc in UFUNCS:
                return reckoned(UFUNCS[ufunc], *args)
        return getattr(ufunc, method)(*(answered(one) for one in args), **options)

    def __array_function__(self, function: Any, types: Any, args: Any, options: Any) -> Any:
        if function is np.where and len(args) == 3:
            return reckoned("if", *args)
        if function is np.clip and len(args) == 3:
            return reckoned("min", reckoned("max", args[0], args[1]), args[2])
        return function(*(answered(one) for one in args), **options)


def plain(given: Any) -> Any:
    """A number of the run: an array of one value is that value, numpy's scalars are Python's."""
    if isinstance(given, np.ndarray):
        given = given.item()
    return given.item() if isinstance(given, np.generic) else given


def value_of(given: Any) -> Any:
    """The value of a number, whatever it remembers."""
    return given.value if isinstance(given, Number) else given


def answered(given: Any) -> Any:
    """The value of a number where it cannot be followed; sequences and arrays one by one."""
    if isinstance(given, np.ndarray) and given.dtype == object:
        given = given.tolist()
    if isinstance(given, list | tuple):
        return [answered(one) for one in given]
    return float(given) if isinstance(given, Number) else given


def reckoned(op: str, *given: Any) -> Any:
    """The result of an operation: a plain value where nothing is remembered, else a Number."""
    args = tuple(plain(one) for one in given)
    numbers = [one for one in args if isinstance(one, Number)]
    value = VALUES[op](*(value_of(one) for one in args))
    if not numbers:
        return value
    if op in COMPARISONS and (
        not any(one.live for one in numbers) or any(not math.isfinite(value_of(one)) for one in args)
    ):
        return bool(value)
    if op == "if" and not isinstance(args[0], Number):
        return args[1] if args[0] else args[2]
    if simple := _simple(op, args):
        return simple[0]
    if op == "+" and isinstance(args[0], Number) and args[0].op == "+":
        args = (*args[0].args, *args[1:])  # one long sum
    return numbers[0].trace.node(op, args, float(value))


def _simple(op: str, args: tuple[Any, ...]) -> tuple[Any, ...]:
    """The operand that is the result already, if any: x + 0, x * 1, x * 0, x / 1."""
    if op not in ("+", "*", "/"):
        return ()
    for one, other in ((args[0], args[1]), (args[1], args[0])):
        if isinstance(one, Number) or (op == "/" and one is not args[1]):
            continue
        if one == (0 if op == "+" else 1):
            return (other,)
        if one == 0 and op == "*":
            return (0.0,)
    return ()
