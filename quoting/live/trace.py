"""The record of one run: every expression once, and the inputs that could not be followed."""

from __future__ import annotations

from typing import Any

from quoting.live.number import Number


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
