"""Expressions as spreadsheet formulas: a number that has a cell is referred to, another is written out."""

import re
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from quoting.formulas.number import Number, value_of

MEANT = 1e-12  # relative distance within which a factor of units stands for a whole number
CELL = re.compile(r"^(\w+!\$[A-Z]+)\$(\d+)$")
ASIDE = "N"  # the column of the sheet "Steps" that holds parts of formulas
LONG = 1000  # characters; a cell holds a formula of 8,192, and nobody reads one of a thousand


class Product(NamedTuple):
    """A constant, what it is multiplied by and what it is divided by."""

    constant: float
    over: tuple[str, ...]
    under: tuple[str, ...]


def spelled_product(product: Product) -> str:
    """A product as text: a factor that is one but for noise is left out, one that is a whole part divides."""
    constant, over, under = product
    whole = round(1 / constant) if constant and abs(constant) < 1 else 0
    if over and abs(abs(constant) - 1) < MEANT:
        words = ("-" if constant < 0 else "") + "*".join(over)
    elif over and whole and abs(constant * whole - 1) < MEANT:
        words = ("-" if constant < 0 else "") + "*".join(over) + f"/{abs(whole)}"
    else:
        words = "*".join((*over, _constant(constant)))
    text = words + "".join(f"/{one}" for one in under)
    inner = text[1:-1]
    return inner if text.startswith("(") and text.endswith(")") and _closed(inner) else text


def _constant(value: float) -> str:
    nearest = round(value)
    return str(nearest) if abs(value - nearest) <= MEANT * abs(value) else repr(value).upper()


def _closed(text: str) -> bool:
    """True where every bracket of a text is closed within it, in order."""
    depth = 0
    for letter in text:
        depth += (letter == "(") - (letter == ")")
        if depth < 0:
            return False
    return depth == 0


def spelled_sum(terms: Iterable[Product]) -> str:
    """Terms added up; three and more cells below one another as a SUM."""
    words: list[str] = []
    for run in stretches(map(spelled_product, terms)):
        words += run if len(run) < 3 else [f"SUM({run[0]}:{run[-1].partition('!')[2]})"]
    return "+".join(words).replace("+-", "-")


def stretches(texts: Iterable[str]) -> Iterator[list[str]]:
    """Texts in their order, cells that stand below one another together."""

    def stretch(one: tuple[int, str]) -> object:
        number, text = one
        cell = CELL.match(text)
        return (cell[1], int(cell[2]) - number) if cell else number

    for _, those in groupby(enumerate(texts), stretch):
        yield [text for _, text in those]


class Ref(NamedTuple):
    """A cell, as formulas write it, and the size of its unit in the canonical one."""

    at: str
    size: float = 1.0


class Formulas:
    """Writes formulas. `cells` gives the cell of every number that has one.

    What grows too long for a cell is written in parts into a column set aside; `parts` holds their formulas and values, from
    row 1 on. A live input without a cell raises ValueError:
    written as a constant it would no longer be live.
    """

    def __init__(self) -> None:
        self.cells: dict[Number, Ref] = {}
        self.parts: list[tuple[str, float]] = []

    def stand(self, one: Any, at: str, size: float = 1.0) -> None:
        """Let a cell stand for a number from now on, unless another does."""
        if isinstance(one, Number):
            self.cells.setdefault(one, Ref(at, size))

    def of(self, one: Any, size: float = 1.0) -> str:
        """The formula (without =) of a number in a unit of `size`; its own cell is referred to."""
        product = self._product(one)
        return spelled_product(product._replace(constant=product.constant / size))

    def spelled(self, one: Number, size: float = 1.0) -> str:
        """The formula of a number written out, even where a cell stands for it."""
        product = self._operation(one)
        return spelled_product(product._replace(constant=product.constant / size))

    def _product(self, one: Any) -> Product:
        if not isinstance(one, Number):
            return Product(float(one), (), ())
        if one not in self.cells:
            product = self._operation(one)
            text = spelled_product(product)
            if len(text) <= LONG:
                return product
            self.cells[one] = Ref(self._set_aside(text, one.value))
        ref = self.cells[one]
        return Product(ref.size, (ref.at,), ())

    def _set_aside(self, formula: str, value: float) -> str:
        self.parts.append((formula, value))
        return f"Steps!${ASIDE}${len(self.parts)}"

    def _operation(self, one: Number) -> Product:
        if one.op == "input":
            if one.live:
                raise ValueError(f"no cell stands for {one.args[0]}")
            return Product(one.value, (), ())
        if one.op in ("*", "/"):
            a, b = (self._product(arg) for arg in one.args)
            if one.op == "/":
                b = Product(1 / b.constant, b.under, b.over)
            return Product(a.constant * b.constant, a.over + b.over, a.under + b.under)
        if one.op == "+":
            terms = self._terms(one)
            return Product(1.0, (f"({spelled_sum(terms)})",), ()) if len(terms) > 1 else terms[0]
        return Product(1.0, (self._function(one),), ())

    def _terms(self, one: Number) -> list[Product]:
        """The terms of a sum; where they are many, cells that hold a part of them each."""
        terms = [self._product(arg) for arg in one.args]
        if len(spelled_sum(terms)) <= LONG:
            return terms
        parts: list[tuple[list[Product], float]] = []
        for term, value in zip(terms, map(value_of, one.args), strict=True):
            if not parts or len(spelled_sum([*parts[-1][0], term])) > LONG:
                parts.append(([], 0.0))
            parts[-1] = ([*parts[-1][0], term], parts[-1][1] + float(value))
        return [Product(1.0, (self._set_aside(spelled_sum(some), value),), ()) for some, value in parts]

    def _function(self, one: Number) -> str:
        args = [spelled_product(self._product(arg)) for arg in one.args]
        if one.op == "ceil":
            return f"-INT(-({args[0]}))"
        if one.op in ("<", "<=", ">", ">=", "="):
            return f"({args[0]}{one.op}{args[1]})"
        patterns = {"floor": "INT({})", "log2": "LOG({},2)", "power": "POWER({},{})", "abs": "ABS({})"}
        pattern = patterns.get(one.op, one.op.upper() + "(" + ",".join(["{}"] * len(args)) + ")")
        return pattern.format(*args)
