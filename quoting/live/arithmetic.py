"""Operators of numbers that remember: each is handed to `reckon` by its sign."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any


class Arithmetic(ABC):
    """Arithmetic and comparisons by way of `reckon`; a difference is a sum with what is taken off times -1."""

    __slots__ = ()

    @abstractmethod
    def reckon(self, op: str, *given: Any) -> Any:
        """The result of an operation on numbers."""

    def __add__(self, other: Any) -> Any:
        return self.reckon("+", self, other)

    def __radd__(self, other: Any) -> Any:
        return self.reckon("+", other, self)

    def __sub__(self, other: Any) -> Any:
        return self.reckon("+", self, self.reckon("*", -1.0, other))

    def __rsub__(self, other: Any) -> Any:
        return self.reckon("+", other, self.reckon("*", -1.0, self))

    def __mul__(self, other: Any) -> Any:
        return self.reckon("*", self, other)

    def __rmul__(self, other: Any) -> Any:
        return self.reckon("*", other, self)

    def __truediv__(self, other: Any) -> Any:
        return self.reckon("/", self, other)

    def __rtruediv__(self, other: Any) -> Any:
        return self.reckon("/", other, self)

    def __neg__(self) -> Any:
        return self.reckon("*", -1.0, self)

    def __abs__(self) -> Any:
        return self.reckon("abs", self)

    def __lt__(self, other: Any) -> Any:
        return self.reckon("<", self, other)

    def __le__(self, other: Any) -> Any:
        return self.reckon("<=", self, other)

    def __gt__(self, other: Any) -> Any:
        return self.reckon(">", self, other)

    def __ge__(self, other: Any) -> Any:
        return self.reckon(">=", self, other)

    __hash__ = object.__hash__

    def __eq__(self, other: object) -> Any:
        return self.reckon("=", self, other)
