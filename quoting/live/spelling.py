"""Products and sums as the text of a formula."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

MEANT = 1e-12  # relative distance within which a factor of units stands for a whole number


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


CELL = re.compile(r"^(\w+!)\$([A-Z]+)\$(\d+)$")


def spelled_sum(terms: Iterable[Product]) -> str:
    """Terms added up; three and more cells below one another as a SUM."""
    words: list[str] = []
    run: list[str] = []

    def close() -> None:
        words.extend(run if len(run) < 3 else [f"SUM({run[0]}:{run[-1].partition('!')[2]})"])
        run.clear()

    for term in terms:
        text = spelled_product(term)
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
