"""Expressions as spreadsheet formulas: a number that has a cell is referred to, another is written out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.live.number import Number, value_of

if TYPE_CHECKING:
    from collections.abc import Iterable

MEANT = 1e-12  # relative distance within which a factor of units stands for a whole number

MOST_TERMS = 250  # of a sum in one cell: a formula holds 8,192 characters


class Ref(NamedTuple):
    """A cell, as formulas write it, and the size of its unit in the canonical one."""

    at: str
    size: float = 1.0


class Product(NamedTuple):
    """A constant, what it is multiplied by and what it is divided by."""

    constant: float
    over: tuple[str, ...]
    under: tuple[str, ...]


class Formulas:
    """Writes formulas. `cells` gives the cell of every number that has one.

    A sum too long for a cell is written in parts into a column set `aside` (sheet and letter); `parts`
    holds their formulas and values, from row 1 on.
    """

    def __init__(self, aside: str = "Steps!$N$") -> None:
        self.cells: dict[Number, Ref] = {}
        self.aside = aside
        self.parts: list[tuple[str, float]] = []
        self._long: dict[Number, list[Product]] = {}

    def stand(self, one: Any, at: str, size: float = 1.0) -> None:
        """Let a cell stand for a number from now on, unless another does."""
        if isinstance(one, Number):
            self.cells.setdefault(one, Ref(at, size))

    def of(self, one: Any, size: float = 1.0) -> str:
        """The formula (without =) of a number in a unit of `size`; its own cell is referred to."""
        product = self._product(one)
        return _text(product._replace(constant=product.constant / size))

    def spelled(self, one: Number, size: float = 1.0) -> str:
        """The formula of a number written out, even where a cell stands for it."""
        product = self._operation(one)
        return _text(product._replace(constant=product.constant / size))

    def _product(self, one: Any) -> Product:
        if not isinstance(one, Number):
            return Product(float(one), (), ())
        if one in self.cells:
            ref = self.cells[one]
            return Product(ref.size, (ref.at,), ())
        return self._operation(one)

    def _operation(self, one: Number) -> Product:
        if one.op == "input":
            return Product(one.value, (), ())
        if one.op in ("*", "/"):
            a, b = (self._product(arg) for arg in one.args)
            if one.op == "/":
                b = Product(1 / b.constant, b.under, b.over) if b.constant else b
            return Product(a.constant * b.constant, a.over + b.over, a.under + b.under)
        if one.op == "+":
            terms = self._terms(one)
            return Product(1.0, (f"({_sum(terms)})",), ()) if len(terms) > 1 else terms[0]
        return Product(1.0, (self._function(one),), ())

    def _terms(self, one: Number) -> list[Product]:
        """The terms of a sum; where they are many, cells that hold a part of them each."""
        if len(one.args) <= MOST_TERMS:
            return [self._product(arg) for arg in one.args]
        if one not in self._long:
            self._long[one] = []
            for start in range(0, len(one.args), MOST_TERMS):
                some = one.args[start : start + MOST_TERMS]
                self.parts.append((_sum(map(self._product, some)), float(sum(map(value_of, some)))))
                self._long[one].append(Product(1.0, (f"{self.aside}{len(self.parts)}",), ()))
        return self._long[one]

    def _function(self, one: Number) -> str:
        args = [_text(self._product(arg)) for arg in one.args]
        if one.op == "ceil":
            return f"-INT(-({args[0]}))"
        if one.op in ("<", "<=", ">", ">=", "="):
            return f"({args[0]}{one.op}{args[1]})"
        patterns = {"floor": "INT({})", "log2": "LOG({},2)", "power": "POWER({},{})", "abs": "ABS({})"}
        pattern = patterns.get(one.op, one.op.upper() + "(" + ",".join(["{}"] * len(args)) + ")")
        return pattern.format(*args)


def _text(product: Product) -> str:
    constant, over, under = product
    whole = round(1 / constant) if constant and abs(constant) < 1 else 0
    if whole and abs(constant * whole - 1) < MEANT and over:
        words = (
            "*".join(over) + f"/{whole}"
            if whole > 0
            else "-" + "*".join(over) + (f"/{-whole}" if whole != -1 else "")
        )
    else:
        sign = "-" if constant == -1 and over else ""
        factor = () if over and abs(abs(constant) - 1) < MEANT else (_constant(constant),)
        words = sign + "*".join((*over, *factor))
    text = words + "".join(f"/{one}" for one in under)
    inner = text[1:-1]
    return inner if text.startswith("(") and text.endswith(")") and _closed(inner) else text


def _constant(value: float) -> str:
    nearest = round(value)
    return str(nearest) if abs(value - nearest) <= MEANT * abs(value) else repr(value)


def _closed(text: str) -> bool:
    """True where every bracket of a text is closed within it, in order."""
    depth = 0
    for letter in text:
        depth += (letter == "(") - (letter == ")")
        if depth < 0:
            return False
    return depth == 0


CELL = re.compile(r"^(\w+!)\$([A-Z]+)\$(\d+)$")


def _sum(terms: Iterable[Product]) -> str:
    """Terms added up; three and more cells below one another as a SUM."""
    words: list[str] = []
    run: list[str] = []

    def close() -> None:
        words.extend(run if len(run) < 3 else [f"SUM({run[0]}:{run[-1].partition('!')[2]})"])
        run.clear()

    for term in terms:
        text = _text(term)
        if CELL.match(text):
            if run and not _below(run[-1], text):
                close()
            run.append(text)
            continue
        close()
        words.append(text)
    close()
    return "+".join(words).replace("+-", "-")


def _below(upper: str, lower: str) -> bool:
    one, other = CELL.match(upper), CELL.match(lower)
    return bool(
        one and other and one[1] == other[1] and one[2] == other[2] and int(other[3]) == int(one[3]) + 1
    )
